using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;

namespace GrainVision.Grading.ByHand;

/// <summary>What a quantity speaks of, and so what its finding must name.</summary>
internal enum HandSubject
{
    Piece,
    End,
    Face,
    Mark,
}

/// <summary>A quantity that a person can enter.</summary>
/// <param name="Kind">Of its findings.</param>
/// <param name="Subject">What it is of.</param>
/// <param name="Units">Unit to factor into the unit that is judged by.</param>
internal sealed record HandQuantity(HandKind Kind, HandSubject Subject, IReadOnlyDictionary<string, double> Units)
{
    /// <summary>Half-width, in the unit given, that is taken where the finding gives none; null where it must.</summary>
    internal Func<HandFinding, double?> UsualPlusMinus { get; init; } = _ => null;

    /// <summary>Greatest value that is no slip of the pen, in the unit that is judged by.</summary>
    internal double Most { get; init; } = double.MaxValue;
}

/// <summary>Quantities that a person can enter, with their units.</summary>
public static class HandQuantities
{
    public const string Moisture = "moisture";

    public const string Weight = "weight";

    public const string SpecificGravity = "specificGravity";

    public const string CombinedSlope = "combinedSlope";

    internal const string Length = "length";

    internal const string Width = "width";

    internal const string Thickness = "thickness";

    internal const string OneIn = "oneIn";

    internal const string Mm = "mm";

    /// <summary>1 percentage point: half-width of a moisture-meter reading (common practice, no source).</summary>
    internal const double MeterHalfWidthPercent = 1;

    /// <summary>0.5 percentage points: a sample dried in an oven, beside how the moisture differs along the piece (common practice, no source).</summary>
    private const double OvenHalfWidthPercent = 0.5;

    /// <summary>0.01: half-width of a weight as a share of it: a bathroom or hanging scale (common practice, no source).</summary>
    internal const double WeightShare = 0.01;

    /// <summary>2.2046226: pounds of a kilogram (NIST Handbook 44, appendix C, from memory).</summary>
    private const double PoundsPerKilogram = 2.2046226218;

    /// <summary>10 points: no meter's table of aircraft woods corrects by more (from memory, confidence 0.9).</summary>
    private const double MostCorrection = 10;

    private static readonly Dictionary<string, double> Rings = new() { ["rings/in"] = 1 };

    private static readonly Dictionary<string, double> Degrees = new() { ["deg"] = 1 };

    private static readonly Dictionary<string, double> Slope = new() { ["tangent"] = 1, [OneIn] = 1 };

    private static readonly Dictionary<string, double> Millimetres = new() { [Mm] = 1 };

    private static readonly Dictionary<string, double> Across = new() { [Mm] = 1, ["in"] = Units.MmPerInch };

    /// <summary>Every quantity by its name.</summary>
    internal static IReadOnlyDictionary<string, HandQuantity> All { get; } = new Dictionary<string, HandQuantity>(StringComparer.Ordinal)
    {
        [Moisture] = new(HandKind.Moisture, HandSubject.Piece, new Dictionary<string, double> { ["%"] = 1 })
        {
            Most = 200, UsualPlusMinus = h => h.Method == MoistureMethod.OvenDry ? OvenHalfWidthPercent : MeterHalfWidthPercent,
        },
        [Weight] = new(HandKind.Weight, HandSubject.Piece, new Dictionary<string, double> { ["lb"] = 1, ["kg"] = PoundsPerKilogram })
        {
            Most = 100_000, UsualPlusMinus = h => h.Value * WeightShare,
        },
        [SpecificGravity] = new(HandKind.Weight, HandSubject.Piece, new Dictionary<string, double> { ["1"] = 1 }) { Most = 1.5 },
        [Length] = new(HandKind.Size, HandSubject.Piece, new Dictionary<string, double> { [Mm] = 1, ["in"] = Units.MmPerInch, ["ft"] = Units.MmPerFoot }) { Most = 100_000 },
        [Width] = new(HandKind.Size, HandSubject.Piece, Across) { Most = 10_000 },
        [Thickness] = new(HandKind.Size, HandSubject.Piece, Across) { Most = 10_000 },
        ["worstInch"] = new(HandKind.Rings, HandSubject.End, Rings),
        ["perInch"] = new(HandKind.Rings, HandSubject.End, Rings),
        ["ringAngle"] = new(HandKind.RingAngle, HandSubject.End, Degrees),
        ["leastRingAngle"] = new(HandKind.RingAngle, HandSubject.End, Degrees),
        ["greatestRingAngle"] = new(HandKind.RingAngle, HandSubject.End, Degrees),
        ["worstWindow"] = new(HandKind.Slope, HandSubject.Face, Slope),
        ["outerEighths"] = new(HandKind.Slope, HandSubject.Face, Slope),
        [CombinedSlope] = new(HandKind.Slope, HandSubject.Piece, Slope),
        ["diameterMm"] = new(HandKind.Mark, HandSubject.Mark, Millimetres),
        ["lengthMm"] = new(HandKind.Mark, HandSubject.Mark, Millimetres),
        ["widthMm"] = new(HandKind.Mark, HandSubject.Mark, Millimetres),
        ["edgeDistanceMm"] = new(HandKind.Mark, HandSubject.Mark, Millimetres),
    };

    /// <summary>Units of each quantity.</summary>
    public static IReadOnlyDictionary<string, IReadOnlyList<string>> UnitsOf { get; } =
        All.ToDictionary(q => q.Key, q => (IReadOnlyList<string>)[.. q.Value.Units.Keys], StringComparer.Ordinal);

    /// <summary>What is wrong with a finding that gives a quantity, or null.</summary>
    internal static string? Problem(HandFinding finding)
    {
        if (!All.TryGetValue(finding.Quantity!, out var quantity))
            return $"'{finding.Quantity}' is none of: {string.Join(", ", All.Keys)}";
        if (finding.Unit is null || !quantity.Units.TryGetValue(finding.Unit, out var factor))
            return $"{finding.Quantity} is given in: {string.Join(" or ", quantity.Units.Keys)}";
        if (finding.Value is not { } value || !double.IsFinite(value) || value < 0 || value * factor > quantity.Most)
            return "the value is a number of 0 or more, and no slip of the pen";
        if ((finding.PlusMinus ?? quantity.UsualPlusMinus(finding)) is not { } half || !double.IsFinite(half) || half <= 0)
            return "plusMinus is over 0: no instrument is exact";
        if (finding.Unit == OneIn && value - half <= 0)
            return "1:N minus plusMinus must stay over 0";
        return MethodProblem(finding) ?? SubjectProblem(finding, quantity);
    }

    /// <summary>A meter reads one species right; the shop's is another, more often than not.</summary>
    private static string? MethodProblem(HandFinding finding)
    {
        if (finding.Quantity != Moisture)
            return finding.Method is null && finding.SpeciesCorrection is null ? null : "method and speciesCorrection are of moisture";
        if (finding.Method is not { } method || !Enum.IsDefined(method))
            return "moisture names its method: meter or oven-dry";
        if (method == MoistureMethod.OvenDry)
            return finding.SpeciesCorrection is null ? null : "an oven-dry sample needs no speciesCorrection";
        return finding.SpeciesCorrection is { } points && double.IsFinite(points) && Math.Abs(points) <= MostCorrection && finding.Value + points >= 0
            ? null
            : "a meter's reading names the speciesCorrection of its table, in percentage points: 0 where the meter was set to the species";
    }

    private static string? SubjectProblem(HandFinding finding, HandQuantity quantity) => quantity.Subject switch
    {
        HandSubject.Piece => finding.Measurement is null && finding.Surface is null ? null : $"{finding.Quantity} is of the whole piece: it names no measurement and no surface",
        HandSubject.Mark => finding.Measurement is not null && finding.Blemish is > 0 ? null : "a size is of a blemish: name its measurement and its number on the picture",
        var subject => finding.Measurement is not null || (finding.Surface is { } surface && (surface is Surface.EndA or Surface.EndB) == (subject == HandSubject.End))
            ? null
            : $"{finding.Quantity} names the {(subject == HandSubject.End ? "end" : "face")} that it was found on, as surface, or the measurement of it",
    };
}
