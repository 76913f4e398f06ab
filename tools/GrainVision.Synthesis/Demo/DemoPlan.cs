using GrainVision.Grading.Deliveries;
using GrainVision.Grading.Findings;
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
    /// <summary>8 to 10.8 %: all dry enough, the last of them a matter of the meter.</summary>
    public double MoisturePercent => 9.4 + (Piece.Number % 4 * 0.35);

    /// <summary>0.40 to 0.43: Sitka spruce a little over its limit of 0.36 (ANC-19 Table 2-13).</summary>
    public double SpecificGravity => 0.40 + (Piece.Number % 4 * 0.01);

    /// <summary>The board that it is cut as.</summary>
    public BoardSpec Spec(string species) => new(
        species, Piece.WidthIn * Units.MmPerInch, Piece.NominalQuarters / 4.0 * Units.MmPerInch, Piece.LengthFt * Units.MmPerFoot, RingsPerInch, RingAngleDeg, WideSlope, NarrowSlope);
}

/// <summary>
/// The demo delivery: an invented shop (Heron Lane Spar Works) and mill (Invented Fjord Mill), an order of 12 short pieces, each photographed whole. Half are
/// sound, the others each have something that a buyer must see.
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
        OrderedBoardFeet = 8,
        CutList =
        [
            new("rib cap strip", 500, 12, 8, "cap-strip", 4),
            new("short cap strip", 280, 10, 8, "cap-strip", 12),
            new("spar doubler", 280, 60, 20, "spar", 3),
        ],
    };

    public static IReadOnlyList<DemoPiece> Pieces { get; } =
    [
        Stick(1, 11, 82, 0.010, 0.008),
        Stick(2, 12, 84, 0.012, 0.015, byCard: true),
        Stick(3, 4.2, 80, 0.015, 0.010),
        Stick(4, 10, 78, 0.125, 0.010),
        Stick(5, 13, 85, 0.011, 0.010),
        // Two feet long: each face takes two photos.
        Stick(6, 10.5, 77, 0.010, 0.009, lengthFt: 2),
        Stick(7, 10, 80, 0.014, 0.010, BlemishKind.LooseKnot, byCard: true),
        Stick(8, 11, 25, 0.010, 0.012),
        Stick(9, 12, 83, 0.006, 0.011, BlemishKind.BoreHole),
        Stick(10, 9.5, 76, 0.020, 0.010),
        Stick(11, 6.1, 79, 0.012, 0.010, byCard: true),
        Stick(12, 11.5, 81, 0.012, 0.008, BlemishKind.Check),
    ];

    private static DemoPiece Stick(
        int number, double rings, double angle, double wide, double narrow, BlemishKind? blemish = null, bool byCard = false, double lengthFt = 1) =>
        new(
            new DeliveryPiece
            {
                Number = number,
                NominalQuarters = 4,
                WidthIn = 2.75,
                LengthFt = lengthFt,
                SpeciesMark = "S",
                // Every third piece came with its meter reading; the others are asked about.
                MoisturePercent = number % 3 == 1 ? 10 : null,
            },
            rings, angle, wide, narrow, blemish, byCard);
}
