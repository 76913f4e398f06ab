using GrainVision.Grading.Quantities;

namespace GrainVision.Grading.Cards;

/// <summary>
/// Geometry of the printed scale card: a chessboard whose white squares hold ArUco markers (a ChArUco board), in millimetres.
/// Origin at the top-left corner of the card's outline, x to the right, y down, text upright.
/// </summary>
/// <remarks>
/// <para>Method: S. Garrido-Jurado et al. 2014, "Automatic generation and detection of highly reliable fiducial markers under
/// occlusion", Pattern Recognition 47(6), doi:10.1016/j.patcog.2014.01.005. The chessboard's inner corners are located to a few
/// hundredths of a pixel; the markers say which corner is which, so part of the card is enough.</para>
/// <para>Markers come from OpenCV's predefined dictionary of 4x4 bits. Fewer bits mean larger cells, so that a card 250 px wide
/// still reads; false readings are ruled out by the layout, in which several ids must stand at their places.</para>
/// <para><b>Plan of marker ids</b> (the start of the 4x4 dictionaries): 0-15 this card; 16-21 check targets
/// (<see cref="CheckTargetDesign"/>); the rest free. A piece card (<see cref="PieceCardDesign"/>) takes no ids: six of its markers hold symbols of a
/// code of its own, three bits or more from every marker of this card.</para>
/// </remarks>
public static class CardDesign
{
    /// <summary>Side of a chessboard square.</summary>
    public const double SquareMm = 10;

    /// <summary>Squares from left to right.</summary>
    public const int Columns = 8;

    /// <summary>Squares from top to bottom.</summary>
    public const int Rows = 4;

    /// <summary>Side of a marker with its black border: leaves one marker cell (1.25 mm) of white round it.</summary>
    public const double MarkerMm = 7.5;

    /// <summary>White margin round the chessboard; the outline is the line to cut along.</summary>
    public const double QuietMm = 5;

    /// <summary>90 mm: short enough to lie beside the end of a 2 in flitch.</summary>
    public const double WidthMm = (Columns * SquareMm) + (2 * QuietMm);

    /// <summary>50 mm.</summary>
    public const double HeightMm = (Rows * SquareMm) + (2 * QuietMm);

    /// <summary>Where the 100 mm check line starts on the card's sheet, from the card's top-left corner: its graduations stand on it.</summary>
    public static PointPx CheckLineAtMm { get; } = new((WidthMm - 100) / 2, 72);

    /// <summary>Cells along a marker's side: 4 bits and the black border on both sides.</summary>
    public const int MarkerCells = 6;

    /// <summary>Markers on the card, ids 0 to this less 1.</summary>
    public const int MarkerCount = Columns * Rows / 2;

    /// <summary>Inner corners of the chessboard.</summary>
    public const int CornerCount = (Columns - 1) * (Rows - 1);

    /// <summary>6: four fix the perspective, two more show whether it fits.</summary>
    public const int LeastCorners = 6;

    /// <summary>The chessboard's length, printed on the card as the length to check.</summary>
    public const double BoardLengthMm = Columns * SquareMm;

    /// <summary>Corners of the card's outline, clockwise from the top left.</summary>
    public static IReadOnlyList<PointPx> OutlineMm { get; } = [new(0, 0), new(WidthMm, 0), new(WidthMm, HeightMm), new(0, HeightMm)];

    /// <summary>Inner corners row by row, mm.</summary>
    public static IReadOnlyList<PointPx> CornersMm { get; } = Enumerable.Range(0, CornerCount)
        .Select(i => new PointPx(
            QuietMm + (SquareMm * ((i % (Columns - 1)) + 1)),
            QuietMm + (SquareMm * ((i / (Columns - 1)) + 1))))
        .ToArray();

    /// <summary>True for a black square; the top-left one is black.</summary>
    public static bool IsBlack(int row, int column) => (row + column) % 2 == 0;

    /// <summary>Top-left corner of marker <paramref name="id"/>, mm. Markers fill the white squares row by row.</summary>
    public static PointPx MarkerAtMm(int id)
    {
        var row = id / (Columns / 2);
        var column = (2 * (id % (Columns / 2))) + (row % 2 == 0 ? 1 : 0);
        const double inset = (SquareMm - MarkerMm) / 2;
        return new PointPx(QuietMm + (column * SquareMm) + inset, QuietMm + (row * SquareMm) + inset);
    }

    /// <summary>Corners of a marker, clockwise from its own top left, mm.</summary>
    public static IReadOnlyList<PointPx> MarkerCornersMm(int id)
    {
        var a = MarkerAtMm(id);
        return [a, new(a.X + MarkerMm, a.Y), new(a.X + MarkerMm, a.Y + MarkerMm), new(a.X, a.Y + MarkerMm)];
    }
}
