using System.Text.Json.Serialization;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;

namespace GrainVision.Grading.Verdicts;

/// <summary>What a person saw of a limit that has no number.</summary>
public enum HandAnswer
{
    /// <summary>Looked at, and the limit is kept.</summary>
    [JsonStringEnumMemberName("met")]
    Met,

    /// <summary>Looked at, and the limit is broken.</summary>
    [JsonStringEnumMemberName("broken")]
    Broken,
}

/// <summary>
/// What a person measured or saw on the piece itself. Exactly one of three: a <see cref="Quantity"/> with its value, what a
/// <see cref="Blemish"/> of the picture <see cref="Is"/>, or the <see cref="Answer"/> to a <see cref="Limit"/> that has no number.
/// </summary>
public sealed record HandFinding
{
    /// <summary>Word for <see cref="Is"/>: the mark is no blemish at all.</summary>
    public const string NoBlemish = "none";

    /// <summary>Id of the measurement whose surface it was found on; null where it speaks of the whole piece.</summary>
    public string? Measurement { get; init; }

    /// <summary>
    /// worstInch, perInch (rings/in); ringAngle, leastRingAngle, greatestRingAngle (deg); worstWindow, outerEighths, combinedSlope (tangent or
    /// oneIn); of a blemish: diameterMm, lengthMm, widthMm, edgeDistanceMm (mm).
    /// </summary>
    public string? Quantity { get; init; }

    public double? Value { get; init; }

    /// <summary>Half-width of the 95 % interval in the same unit: what the instrument and the hand can be off by. Over 0.</summary>
    public double? PlusMinus { get; init; }

    public string? Unit { get; init; }

    /// <summary>Number of the blemish on the picture, from 1.</summary>
    public int? Blemish { get; init; }

    /// <summary>A kind of blemish, or <see cref="NoBlemish"/>.</summary>
    public string? Is { get; init; }

    /// <summary>Limit that <see cref="Answer"/> speaks of.</summary>
    public string? Limit { get; init; }

    public HandAnswer? Answer { get; init; }

    /// <summary>What it was measured with: "steel rule and lens".</summary>
    public required string Instrument { get; init; }

    /// <summary>Who measured.</summary>
    public required string By { get; init; }

    public string? Note { get; init; }

    /// <summary>The value with its interval, in the unit that the judge uses.</summary>
    [JsonIgnore]
    internal Measured Measured => Unit == HandUnits.OneIn
        ? new Measured(1 / Value!.Value, 1 / (Value.Value + PlusMinus!.Value), 1 / (Value.Value - PlusMinus.Value))
        : new Measured(Value!.Value, Value.Value - PlusMinus!.Value, Value.Value + PlusMinus.Value);

    /// <summary>What is wrong with it, or null.</summary>
    public string? Problem()
    {
        if (string.IsNullOrWhiteSpace(Instrument) || string.IsNullOrWhiteSpace(By))
            return "it names the instrument and who measured";
        var said = (Quantity is null ? 0 : 1) + (Is is null ? 0 : 1) + (Answer is null ? 0 : 1);
        if (said != 1)
            return "it gives one of: a quantity with value, what a blemish is, the answer to a limit";
        if (Answer is not null)
            return string.IsNullOrWhiteSpace(Limit) ? "an answer names its limit" : null;
        if (Is is not null)
        {
            return Measurement is null || Blemish is not > 0 ? "a blemish is named by its measurement and its number on the picture"
                : Is == NoBlemish || KindOf(Is) is not null ? null : $"'{Is}' is no kind of blemish; 'none' says that the mark is none";
        }

        return ValueProblem();
    }

    internal static BlemishKind? KindOf(string word) => Enum.GetValues<BlemishKind>().Where(k => k != BlemishKind.Unknown)
        .Cast<BlemishKind?>().FirstOrDefault(k => string.Equals(BlemishWords.From(k!.Value).Replace(' ', '-'), word, StringComparison.Ordinal));

    private string? ValueProblem()
    {
        if (!HandUnits.Of.TryGetValue(Quantity!, out var units))
            return $"'{Quantity}' is none of: {string.Join(", ", HandUnits.Of.Keys)}";
        if (Unit is null || !units.Contains(Unit))
            return $"{Quantity} is given in: {string.Join(" or ", units)}";
        if (Value is not { } value || !double.IsFinite(value) || value < 0)
            return "the value is a number of 0 or more";
        if (PlusMinus is not { } plusMinus || !double.IsFinite(plusMinus) || plusMinus <= 0)
            return "plusMinus is over 0: no instrument is exact";
        if (Unit == HandUnits.OneIn && value - plusMinus <= 0)
            return "1:N minus plusMinus must stay over 0";
        if (Unit == HandUnits.Mm && (Measurement is null || Blemish is not > 0))
            return "a size is of a blemish: name its measurement and its number on the picture";
        return Quantity != HandUnits.CombinedSlope && Measurement is null ? $"{Quantity} names the measurement of the surface it was found on" : null;
    }
}

/// <summary>Quantities that a person can enter, with their units.</summary>
public static class HandUnits
{
    internal const string OneIn = "oneIn";

    internal const string Mm = "mm";

    internal const string CombinedSlope = "combinedSlope";

    private static readonly string[] Rings = ["rings/in"];

    private static readonly string[] Degrees = ["deg"];

    private static readonly string[] Slope = ["tangent", OneIn];

    private static readonly string[] Length = [Mm];

    /// <summary>Units of each quantity.</summary>
    public static IReadOnlyDictionary<string, IReadOnlyList<string>> Of { get; } = new Dictionary<string, IReadOnlyList<string>>(StringComparer.Ordinal)
    {
        ["worstInch"] = Rings,
        ["perInch"] = Rings,
        ["ringAngle"] = Degrees,
        ["leastRingAngle"] = Degrees,
        ["greatestRingAngle"] = Degrees,
        ["worstWindow"] = Slope,
        ["outerEighths"] = Slope,
        [CombinedSlope] = Slope,
        ["diameterMm"] = Length,
        ["lengthMm"] = Length,
        ["widthMm"] = Length,
        ["edgeDistanceMm"] = Length,
    };
}
