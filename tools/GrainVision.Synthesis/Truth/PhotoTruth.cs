using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;

namespace GrainVision.Synthesis;

/// <summary>
/// What a synthetic photo truly shows: the names of the contract's measurement, without intervals, and the conditions under which
/// it was taken. Points are photo px with lens distortion included.
/// </summary>
public sealed record PhotoTruth
{
    public required int Seed { get; init; }

    public required View View { get; init; }

    public required string Species { get; init; }

    public required PhotoSize Photo { get; init; }

    /// <summary>
    /// Corners 1 to 4 of the surface, clockwise as seen, px; side 1-2 along the wide face of an end, along the length of a face.
    /// Of a face that reaches beyond the photo: the corners of the part shown, cut square at the photo's border.
    /// </summary>
    public required IReadOnlyList<PointPx> Outline { get; init; }

    /// <summary>True where the outline is cut by the photo's border rather than by the piece's own ends.</summary>
    public bool OutlineCutByPhoto { get; init; }

    public required SizeTruth SizeMm { get; init; }

    public required ScaleTruth Scale { get; init; }

    public RingTruth? Rings { get; init; }

    public RingAngleTruth? RingAngle { get; init; }

    public GrainTruth? Grain { get; init; }

    public IReadOnlyList<BlemishTruth> Blemishes { get; init; } = [];

    /// <summary>Things that look like something but are no blemish, by kebab-case name.</summary>
    public IReadOnlyList<NonBlemishTruth> NonBlemishes { get; init; } = [];

    public required Conditions Conditions { get; init; }

    /// <summary>True where the photo was drawn with rarer looks (--variety); null otherwise.</summary>
    public bool? Variety { get; init; }

    /// <summary>What is painted where, as a picture; null where none was asked for.</summary>
    public MaskTruth? Mask { get; init; }
}

/// <summary>A palette PNG of the photo's size beside it.</summary>
/// <param name="File">Its name.</param>
/// <param name="Classes">Names of the classes; bit k of a combination is class k.</param>
/// <param name="Combinations">Class bits of each palette entry.</param>
public sealed record MaskTruth(string File, IReadOnlyList<string> Classes, IReadOnlyList<int> Combinations);

public sealed record PhotoSize(int Width, int Height);

/// <summary>Size of the surface along side 1-2 and side 2-3, and of the piece away from the camera, mm.</summary>
public sealed record SizeTruth(double First, double Second, double Depth);

/// <param name="PixelsPerMm">At the middle of the surface: root of the area scale.</param>
/// <param name="PxFromMm">Row-major 3x3, surface mm (origin in the surface's middle, x along side 1-2, y along side 2-3) to px, lens distortion left out.</param>
/// <param name="LensK1">Radial distortion k1: ideal px p goes to c + (p - c)(1 + k1 r^2), r in half diagonals from the photo's centre c.</param>
/// <param name="Prop">What lies beside the piece.</param>
/// <param name="Unit">Unit of the rule's edge towards the piece; null without a rule.</param>
/// <param name="PropOutline">Corners of the rule or card, px; null without.</param>
public sealed record ScaleTruth(double PixelsPerMm, IReadOnlyList<double> PxFromMm, double LensK1, ScaleProp Prop, SteelRuleUnit? Unit, IReadOnlyList<PointPx>? PropOutline);

/// <summary>Rings along the curve that follows the ring normals from the middle of the section both ways to its border or the pith.</summary>
/// <param name="Count">Whole rings between the first and last boundary.</param>
/// <param name="PerInch">25.4 over the mean width.</param>
/// <param name="WorstInch">Least ring number in any 25.4 mm of the path between the first and last boundary, parts of rings counted; the proportionate number where that is shorter than an inch.</param>
/// <param name="MeanWidthMm">Mean width along the path, mm.</param>
/// <param name="LatewoodShare">Mean over the whole rings of latewood width over ring width; latewood starts at half darkness.</param>
/// <param name="Path">The curve from the pith side to the bark side, every 0.5 mm or so, px.</param>
/// <param name="Boundaries">Crossings of ring boundaries in path order, px.</param>
/// <param name="WidthsMm">Width of each whole ring in path order, mm.</param>
/// <param name="LatewoodShares">Latewood share of each whole ring.</param>
/// <param name="FalseRings">How many of the whole rings hold a visible false ring.</param>
public sealed record RingTruth(
    int Count,
    double PerInch,
    double WorstInch,
    double MeanWidthMm,
    double LatewoodShare,
    IReadOnlyList<PointPx> Path,
    IReadOnlyList<PointPx> Boundaries,
    IReadOnlyList<double> WidthsMm,
    IReadOnlyList<double> LatewoodShares,
    int FalseRings)
{
    /// <summary>The stretch of <see cref="Path"/> that holds the worst inch, px; the whole path between the boundaries where that is shorter.</summary>
    public IReadOnlyList<PointPx> WorstInchPath { get; init; } = [];
}

/// <param name="Degrees">Ring tangent against side 1-2 at the middle, mean over a disc of <paramref name="DiscMm"/>, 0 to 90.</param>
/// <param name="DegreesAtPoint">The same at the very middle.</param>
/// <param name="DiscMm">Radius of the disc, mm.</param>
/// <param name="Least">Least anywhere on the section.</param>
/// <param name="Greatest">Greatest anywhere on the section.</param>
/// <param name="Cut">By the 30/60 convention.</param>
/// <param name="Pith">The pith where it pierces the section's plane, px; may lie outside the photo.</param>
/// <param name="PithDistanceMm">From the middle of the section, mm.</param>
/// <param name="Boxed">True where the pith lies inside the section.</param>
public sealed record RingAngleTruth(double Degrees, double DegreesAtPoint, double DiscMm, double Least, double Greatest, Cut Cut, PointPx Pith, double PithDistanceMm, bool Boxed)
{
    /// <summary>By the 45 degree rule of ANC-19 2.402.</summary>
    public bool EdgeGrained => Degrees >= CutClass.EdgeGrainFromDeg;
}

/// <summary>The conditions of the photo, for telling where the measuring fails.</summary>
public sealed record Conditions(
    Difficulty Difficulty,
    double PxPerRing,
    double NarrowestRingPx,
    double BlurSigmaPx,
    double MotionPx,
    double NoiseLevels,
    double TiltDeg,
    double RotationDeg,
    double Glare,
    double SawMarks,
    int JpegQuality,
    Bench Bench);
