using System.Text.Json.Serialization;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;

namespace GrainVision.Grading.ByHand;

/// <summary>
/// What a person measured or saw on the piece itself. It gives exactly one of four: a <see cref="Quantity"/> with its value, what a
/// <see cref="Blemish"/> of the picture <see cref="Is"/>, the <see cref="Answer"/> to a <see cref="Limit"/> that has no number, the <see cref="Species"/>.
/// </summary>
public sealed record HandFinding
{
    /// <summary>Word for <see cref="Is"/>: the mark is no blemish at all.</summary>
    public const string NoBlemish = "none";

    /// <summary>100 characters: a person's name with title some 40, an instrument with its number fewer.</summary>
    private const int LongestName = 100;

    /// <summary>4,000 characters: a page.</summary>
    private const int LongestNote = 4_000;

    /// <summary>Entry of the log of the finding that this one takes the place of; null where it stands beside the earlier ones.</summary>
    public long? Corrects { get; init; }

    /// <summary>Id of the measurement whose surface it was found on; null where it speaks of a <see cref="Surface"/>, or of the whole piece.</summary>
    public string? Measurement { get; init; }

    /// <summary>End or face of the piece that it was found on: all photos of it.</summary>
    public Surface? Surface { get; init; }

    /// <summary>One of <see cref="HandQuantities"/>.</summary>
    public string? Quantity { get; init; }

    public double? Value { get; init; }

    /// <summary>
    /// Half-width of the 95 % interval in the same unit: what the instrument and the hand can be off by, over 0. Left out, that of <see cref="HandQuantity"/>
    /// where it has one.
    /// </summary>
    public double? PlusMinus { get; init; }

    public string? Unit { get; init; }

    /// <summary>How moisture was found.</summary>
    public MoistureMethod? Method { get; init; }

    /// <summary>Percentage points that the meter's own table adds for the species; 0 where the meter was set to it.</summary>
    public double? SpeciesCorrection { get; init; }

    /// <summary>Number of the blemish on the picture, from 1.</summary>
    public int? Blemish { get; init; }

    /// <summary>A kind of blemish, or <see cref="NoBlemish"/>.</summary>
    public string? Is { get; init; }

    /// <summary>
    /// Id of the measurement of a photo taken closer, which says what the mark is: sent in the place of <see cref="Is"/>, and on record beside it.
    /// </summary>
    public string? CloseUp { get; init; }

    /// <summary>Sizes of the mark, with <see cref="Is"/>.</summary>
    public MarkSize? Size { get; init; }

    /// <summary>Limit that <see cref="Answer"/> speaks of.</summary>
    public string? Limit { get; init; }

    public HandAnswer? Answer { get; init; }

    /// <summary>Kebab-case common name of the wood.</summary>
    public string? Species { get; init; }

    /// <summary>What it was measured with: "steel rule and lens".</summary>
    public required string Instrument { get; init; }

    /// <summary>Who measured.</summary>
    public required string By { get; init; }

    /// <summary>When it was measured; null: when it was entered.</summary>
    public DateTimeOffset? At { get; init; }

    public string? Note { get; init; }

    /// <summary>What kind of finding it is.</summary>
    [JsonIgnore]
    public HandKind Kind =>
        Is is not null ? HandKind.Mark
        : Answer is not null ? HandKind.Look
        : Species is not null ? HandKind.Species
        : Quantity is { } quantity && HandQuantities.All.TryGetValue(quantity, out var known) ? known.Kind : HandKind.Look;

    /// <summary>The value with its interval, in the unit that is judged by. Only of a quantity without a <see cref="Problem"/>.</summary>
    [JsonIgnore]
    internal Measured Measured
    {
        get
        {
            var quantity = HandQuantities.All[Quantity!];
            var half = PlusMinus ?? quantity.UsualPlusMinus(this)!.Value;
            if (Unit == HandQuantities.OneIn)
                return new Measured(1 / Value!.Value, 1 / (Value.Value + half), 1 / (Value.Value - half));
            var value = Value!.Value + (SpeciesCorrection ?? 0);
            return new Measured(value, value - half, value + half).Scale(quantity.Units[Unit!]);
        }
    }

    /// <summary>What is wrong with it, or null.</summary>
    public string? Problem()
    {
        if (!IsName(Instrument) || !IsName(By))
            return $"it names the instrument and who measured, in 1 to {LongestName} characters";
        if (Note?.Length > LongestNote || !IsNameOrNull(Species) || !IsNameOrNull(Limit) || !IsNameOrNull(Measurement) || !IsNameOrNull(CloseUp))
            return $"names are of 1 to {LongestName} characters, the note of at most {LongestNote}";
        if (Measurement is not null && Surface is not null)
            return "it is found on a measurement's surface or on a surface of the piece: one of the two is named";
        var said = (Quantity is null ? 0 : 1) + (Is is null ? 0 : 1) + (Answer is null ? 0 : 1) + (Species is null ? 0 : 1);
        if (said != 1)
            return "it gives one of: a quantity with value, what a blemish is, the answer to a limit, the species";
        if (Quantity is null && (Value ?? PlusMinus ?? SpeciesCorrection) is not null)
            return "a value belongs to a quantity";
        if (CloseUp is not null && Is is null)
            return "a close-up is of a mark";
        if (Size is not null && (Is is null or NoBlemish))
            return "sizes are of a mark that is a blemish";
        if (Answer is not null)
            return Limit is null ? "an answer names its limit" : null;
        if (Is is not null)
            return MarkProblem();
        return Quantity is null ? null : HandQuantities.Problem(this);
    }

    internal static BlemishKind? KindOf(string word) => Enum.GetValues<BlemishKind>().Where(k => k != BlemishKind.Unknown)
        .Cast<BlemishKind?>().FirstOrDefault(k => string.Equals(BlemishWords.Code(k!.Value), word, StringComparison.Ordinal));

    private string? MarkProblem()
    {
        if (Measurement is null || Blemish is not > 0)
            return "a blemish is named by its measurement and its number on the picture";
        if (Is != NoBlemish && KindOf(Is!) is null)
            return $"'{Is}' is no kind of blemish; 'none' says that the mark is none";
        return Size?.Problem();
    }

    private static bool IsName(string? text) => !string.IsNullOrWhiteSpace(text) && text.Length <= LongestName && !text.Any(char.IsControl);

    private static bool IsNameOrNull(string? text) => text is null || IsName(text);
}
