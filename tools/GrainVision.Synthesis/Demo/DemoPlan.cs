using GrainVision.Grading.Deliveries;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Pieces;
using GrainVision.Grading.Quantities;
using DeliveryPiece = GrainVision.Grading.Pieces.Piece;

namespace GrainVision.Synthesis;

/// <summary>What one piece of the demo delivery is to be.</summary>
/// <param name="Piece">As the shop enters it.</param>
/// <param name="RingsPerInch">Mean over end A.</param>
/// <param name="RingAngleDeg">Ring angle at the middle of end A.</param>
/// <param name="WideSlope">Slope of grain in the wide faces, tangent.</param>
/// <param name="NarrowSlope">Slope of grain in the narrow faces, tangent.</param>
/// <param name="Blemish">On face 1, or null.</param>
/// <param name="SortedByCard">Photos named by the camera, sorted by the piece card in them.</param>
internal sealed record DemoPiece(
    DeliveryPiece Piece, double RingsPerInch, double RingAngleDeg, double WideSlope, double NarrowSlope, BlemishKind? Blemish, bool SortedByCard)
{
    /// <summary>A stick short enough for its faces to show whole in one photo.</summary>
    public bool IsStick => Piece.LengthFt <= 2;

    /// <summary>The board that it is cut as.</summary>
    public BoardSpec Spec(string species) => new(
        species, Piece.WidthIn * Units.MmPerInch, Piece.NominalQuarters / 4.0 * Units.MmPerInch, Piece.LengthFt * 12 * Units.MmPerInch, RingsPerInch, RingAngleDeg, WideSlope, NarrowSlope);
}

/// <summary>
/// The demo delivery: an invented shop (Heron Lane Spar Works) and mill (Invented Fjord Mill), an order of 24 pieces. Half are sound, the
/// others each have something that a buyer must see.
/// </summary>
internal static class DemoPlan
{
    public static Delivery Delivery { get; } = new()
    {
        Supplier = "Invented Fjord Mill",
        OrderNumber = "HERON-LANE-0107",
        Species = "sitka-spruce",
        StatedMoisturePercent = 11,
        RuleBooks = ["spar", "cap-strip"],
        OrderedBoardFeet = 100,
        CutList =
        [
            new("rib cap strip", 1000, 12, 8, "cap-strip", 24),
            new("short cap strip", 300, 10, 8, "cap-strip", 16),
            new("spar blank", 2000, 80, 40, "spar", 2),
        ],
    };

    public static IReadOnlyList<DemoPiece> Pieces { get; } =
    [
        // Flitches of 8 ft: parts of their faces are photographed.
        Flitch(1, 11, 82, 0.010, 0.008),
        Flitch(2, 9.5, 76, 0.020, 0.010),
        Flitch(3, 12, 84, 0.012, 0.015, byCard: true),
        Flitch(4, 4.2, 80, 0.015, 0.010),
        Flitch(5, 10, 78, 0.120, 0.010),
        Flitch(6, 11, 70, 0.010, 0.012, byCard: true),
        Flitch(7, 10, 80, 0.014, 0.010, BlemishKind.LooseKnot),
        Flitch(8, 9, 40, 0.018, 0.012),
        Flitch(9, 13, 85, 0.011, 0.010, byCard: true),
        Flitch(10, 10, 81, 0.064, 0.020),
        Flitch(11, 8.5, 74, 0.012, 0.100),
        Flitch(12, 11.5, 83, 0.016, 0.008, BlemishKind.PitchPocket, byCard: true),
        Flitch(13, 6.3, 79, 0.012, 0.010),
        Flitch(14, 10.5, 77, 0.010, 0.009),
        Flitch(15, 4.4, 72, 0.020, 0.012, byCard: true),
        Flitch(16, 12, 80, 0.012, 0.011, BlemishKind.Knot),

        // Sticks of 2 ft: every face in one photo.
        Stick(17, 10, 82, 0.010, 0.008),
        Stick(18, 11, 78, 0.012, 0.010, byCard: true),
        Stick(19, 9, 84, 0.015, 0.006),
        Stick(20, 10, 80, 0.130, 0.012),
        Stick(21, 9.5, 79, 0.014, 0.010, byCard: true),
        Stick(22, 4.0, 81, 0.010, 0.010),
        Stick(23, 11, 83, 0.011, 0.012),
        Stick(24, 8.5, 76, 0.009, 0.010, BlemishKind.BoreHole),
    ];

    private static DemoPiece Flitch(int number, double rings, double angle, double wide, double narrow, BlemishKind? blemish = null, bool byCard = false) =>
        new(Entered(number, 8, 4, 8), rings, angle, wide, narrow, blemish, byCard);

    private static DemoPiece Stick(int number, double rings, double angle, double wide, double narrow, BlemishKind? blemish = null, bool byCard = false) =>
        new(Entered(number, 6, 3, 2), rings, angle, wide, narrow, blemish, byCard);

    private static DeliveryPiece Entered(int number, int quarters, double widthIn, double lengthFt) => new()
    {
        Number = number,
        NominalQuarters = quarters,
        WidthIn = widthIn,
        LengthFt = lengthFt,
        SpeciesMark = "S",
        MoisturePercent = 10.5 + (number % 5 * 0.3),
        // 26 lb a cubic foot at 11 %, a little either way: common practice for Sitka spruce, no source.
        WeightLb = number % 3 == 1 ? Math.Round(quarters / 4.0 * widthIn * lengthFt / 144 * (26 + (number % 4 * 0.5)), 2) : null,
    };
}
