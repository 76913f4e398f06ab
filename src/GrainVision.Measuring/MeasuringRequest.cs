using System.Text.Json;
using System.Text.Json.Serialization;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;

namespace GrainVision.Measuring;

/// <summary>What the caller says of a photo: the contract's <c>request</c>.</summary>
public sealed record MeasuringRequest
{
    /// <summary>Which kind of surface the photo shows.</summary>
    [JsonRequired]
    public View View { get; init; }

    /// <summary>Kebab-case common name such as <c>sitka-spruce</c>; null where unknown.</summary>
    public string? Species { get; init; }

    /// <summary>Four corners in order round the piece, px; side 1-2 along the wide face of an end, along the length of a face. Null: found in the photo.</summary>
    public IReadOnlyList<PointPx>? Outline { get; init; }

    /// <summary>Where the scale comes from; null is <c>auto</c>: printed card, then steel rule.</summary>
    public ScaleRequest? Scale { get; init; }

    /// <summary>
    /// How far the card or rule lies below the photographed surface, mm; negative: above it. Null: in one plane. A rule on the bench beside a lying flitch is as far below its
    /// upper face as the flitch is thick. Not of a scale that is stated.
    /// </summary>
    public double? ScaleBelowMm { get; init; }

    /// <summary>Rule book to judge by; null for no verdict.</summary>
    public string? RuleBook { get; init; }

    /// <summary>
    /// Of a face: angle of the growth rings to this face in degrees, 0 to 90, as the piece's end shows it. It tells whether the face's ring lines
    /// show the fibres, which one face cannot tell by itself. Null where unknown.
    /// </summary>
    public double? RingAngleDegrees { get; init; }

    /// <summary>
    /// The photo shows the printed check target: compare with what was printed. A sheet with a marker is recognised without it. Null for wood.
    /// </summary>
    public CheckTargetRequest? CheckTarget { get; init; }

    /// <summary>Members that this version does not know: kept so that they can be warned of, never silently dropped.</summary>
    [JsonExtensionData]
    public IDictionary<string, JsonElement>? Unknown { get; init; }

    /// <summary>Parts of the form that came beside the request and are not known: to be warned of, no members of the request.</summary>
    [JsonIgnore]
    public IReadOnlyList<string> IgnoredParts { get; init; } = [];
}

/// <summary>What the caller says of a check target; the numbers stand on the sheet.</summary>
/// <param name="PitchMm">Distance between the printed bands, mm, 0.2 to 25; null: read from the sheet's marker.</param>
/// <param name="AngleDegrees">Angle between the bands and the block's long side, degrees, 0 to 90; null: read from the sheet's marker.</param>
/// <param name="CheckLineMm">The printed 100 mm line as a steel rule shows it, mm, 50 to 150; null: not measured.</param>
public sealed record CheckTargetRequest(double? PitchMm = null, double? AngleDegrees = null, double? CheckLineMm = null);

/// <summary>Where the scale comes from, by <c>kind</c>.</summary>
[JsonPolymorphic(TypeDiscriminatorPropertyName = "kind", UnknownDerivedTypeHandling = JsonUnknownDerivedTypeHandling.FailSerialization)]
[JsonDerivedType(typeof(AutoScale), "auto")]
[JsonDerivedType(typeof(CardScale), "card")]
[JsonDerivedType(typeof(SteelRuleScale), "rule")]
[JsonDerivedType(typeof(PointsScale), "points")]
[JsonDerivedType(typeof(OutlineSizeScale), "outlineSize")]
[JsonDerivedType(typeof(PitchScale), "pitch")]
public abstract record ScaleRequest;

/// <summary>
/// Printed card if one lies in the picture, else a steel rule, else a refusal. <paramref name="RuleUnit"/>: what the shop's rules are graduated in; null
/// where that is not known, and then a rule divided by fives and tens is taken for millimetres with a caution that holds the verdict.
/// </summary>
public sealed record AutoScale(SteelRuleUnit? RuleUnit = null) : ScaleRequest;

/// <summary>The project's printed card.</summary>
public sealed record CardScale : ScaleRequest;

/// <summary>A steel rule; <paramref name="Unit"/> null: told from the graduations, as under <see cref="AutoScale"/>.</summary>
public sealed record SteelRuleScale(SteelRuleUnit? Unit = null) : ScaleRequest;

/// <summary>Two points (px) a known distance apart (mm).</summary>
public sealed record PointsScale([property: JsonRequired] PointPx A, [property: JsonRequired] PointPx B, [property: JsonRequired] double DistanceMm) : ScaleRequest;

/// <summary>The outline has this size: side 1-2 and side 2-3, mm.</summary>
public sealed record OutlineSizeScale([property: JsonRequired] double FirstSideMm, [property: JsonRequired] double SecondSideMm) : ScaleRequest;

/// <summary>Pixels per millimetre, known from elsewhere (a scanner, a copy stand).</summary>
public sealed record PitchScale([property: JsonRequired] double PixelsPerMm) : ScaleRequest;
