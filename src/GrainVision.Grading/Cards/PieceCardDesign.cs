using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;

namespace GrainVision.Grading.Cards;

/// <summary>
/// Geometry of a piece card: the board of the plain card (<see cref="CardDesign"/>) with the same corners, so that the scale is as good, six of
/// whose markers hold the piece number and the surface, and a panel that says both to people. Millimetres in the plain card's frame.
/// </summary>
public static class PieceCardDesign
{
    /// <summary>100 mm: two side by side on A4 and Letter.</summary>
    public const double WidthMm = 100;

    /// <summary>44.5 mm: six one above the other on Letter, the shorter paper, with 6 mm of margin.</summary>
    public const double HeightMm = 44.5;

    /// <summary>2.5 mm of white left of the board; the markers have their own white rim inside it.</summary>
    public const double LeftMarginMm = 2.5;

    private const double TopMarginMm = (HeightMm - (CardDesign.Rows * CardDesign.SquareMm)) / 2;

    /// <summary>The card's top-left corner in the plain card's frame.</summary>
    public static PointPx TopLeftMm { get; } = new(CardDesign.QuietMm - LeftMarginMm, CardDesign.QuietMm - TopMarginMm);

    /// <summary>Left border of the panel for people, from the card's left border.</summary>
    public const double PanelAtMm = LeftMarginMm + CardDesign.BoardLengthMm;

    /// <summary>Corners of the card's outline in the plain card's frame, clockwise from the top left.</summary>
    public static IReadOnlyList<PointPx> OutlineMm { get; } =
    [
        TopLeftMm, new(TopLeftMm.X + WidthMm, TopLeftMm.Y), new(TopLeftMm.X + WidthMm, TopLeftMm.Y + HeightMm), new(TopLeftMm.X, TopLeftMm.Y + HeightMm),
    ];

    /// <summary>
    /// Marker places that hold the code, in the order of its symbols: the board's inside, so that the ten markers that place the card stay
    /// spread over its rim.
    /// </summary>
    public static IReadOnlyList<int> CodePlaces { get; } = [2, 5, 6, 9, 10, 13];

    /// <summary>Black cells of every marker of a card by place, row and column, border included.</summary>
    public static IReadOnlyList<bool[,]> Markers(PieceCard card)
    {
        var symbols = PieceCardCode.Encode(card);
        var all = Enumerable.Range(0, CardDesign.MarkerCount).Select(CardMarkers.BlackCells).ToArray();
        for (var i = 0; i < symbols.Length; i++)
            all[CodePlaces[i]] = CardMarkers.Cells(PieceCardCode.Bits(symbols[i]));
        return all;
    }
}
