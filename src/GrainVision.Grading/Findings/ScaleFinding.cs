using System.Text.Json.Serialization;
using GrainVision.Grading.Quantities;

namespace GrainVision.Grading.Findings;

/// <summary>How the photo's scale was found.</summary>
public enum ScaleKind
{
    [JsonStringEnumMemberName("card")]
    Card,

    [JsonStringEnumMemberName("rule")]
    Rule,

    [JsonStringEnumMemberName("points")]
    Points,

    [JsonStringEnumMemberName("outlineSize")]
    OutlineSize,

    [JsonStringEnumMemberName("pitch")]
    Pitch,
}

/// <summary>Unit engraved on a steel rule.</summary>
public enum SteelRuleUnit
{
    [JsonStringEnumMemberName("mm")]
    Mm,

    [JsonStringEnumMemberName("inch")]
    Inch,
}

/// <summary>What says that a rule is graduated in the unit named.</summary>
public enum SteelRuleUnitBasis
{
    /// <summary>
    /// The graduations: only inches are halved down to sixteenths and finer, on this edge of the rule or on its other one; or numerals of inches that stand
    /// 25.4 graduations apart.
    /// </summary>
    [JsonStringEnumMemberName("graduations")]
    Graduations,

    /// <summary>The caller, or the shop's setting.</summary>
    [JsonStringEnumMemberName("told")]
    Told,

    /// <summary>Nothing but custom: engineer's scales of 20 or 30 parts to the inch are divided by fives and tens like millimetres.</summary>
    [JsonStringEnumMemberName("assumed")]
    Assumed,
}

/// <summary>What told a rule's scale.</summary>
public enum ScaleWitnessKind
{
    /// <summary>The row of graduations that the scale was read from.</summary>
    [JsonStringEnumMemberName("graduations")]
    Graduations,

    /// <summary>Another row: the rule's other edge, or another rule.</summary>
    [JsonStringEnumMemberName("otherGraduations")]
    OtherGraduations,

    /// <summary>The numerals' distance from each other: 10 mm or an inch.</summary>
    [JsonStringEnumMemberName("numerals")]
    Numerals,
}

/// <summary>One thing in the photo that tells the scale by itself.</summary>
/// <param name="Kind">What it is.</param>
/// <param name="PixelsPerMm">What it tells at the middle of the photo.</param>
public sealed record ScaleWitness(ScaleWitnessKind Kind, Measured PixelsPerMm);

/// <summary>The photo's scale.</summary>
/// <param name="Kind">What it was read from.</param>
/// <param name="PixelsPerMm">Pixels of the upright photo per millimetre at the middle of the piece.</param>
/// <param name="Unit">Unit of a steel rule; null for the other kinds.</param>
/// <param name="UnitProbability">How sure the unit is, 0 to 1; null for the other kinds.</param>
/// <param name="Marks">Where the scale was read, upright-photo pixels: rule ticks, card corners or the two points. For the picture.</param>
public sealed record ScaleFinding(
    ScaleKind Kind,
    Measured PixelsPerMm,
    SteelRuleUnit? Unit = null,
    double? UnitProbability = null,
    IReadOnlyList<PointPx>? Marks = null)
{
    /// <summary>Piece and surface coded on the card that gave the scale; null for a plain card, an unreadable code, and the other kinds.</summary>
    public PieceCard? Card { get; init; }

    /// <summary>All that told a rule's scale, the row it was read from first; they agree, or the photo is refused. Null for the other kinds, and in older records.</summary>
    public IReadOnlyList<ScaleWitness>? Witnesses { get; init; }

    /// <summary>What the unit of a rule rests on; null for the other kinds, and in records from before it was told.</summary>
    public SteelRuleUnitBasis? UnitBasis { get; init; }

    /// <summary>How far the card or rule was stated to lie below the surface, mm (negative: above), which the scale allows for; null where nothing was stated.</summary>
    public double? BelowMm { get; init; }

    /// <summary>True for a rule that was read as millimetres by custom alone: its lengths may be wrong by a fifth and more.</summary>
    [JsonIgnore]
    public bool IsUnitAssumed => Kind == ScaleKind.Rule && Unit != SteelRuleUnit.Inch && UnitBasis is null or SteelRuleUnitBasis.Assumed;
}
