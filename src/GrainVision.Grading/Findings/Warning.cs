using System.Text.Json;
using System.Text.Json.Serialization;

namespace GrainVision.Grading.Findings;

/// <summary>What the sender should know though nothing was refused. In JSON the codes are kebab-case.</summary>
public enum WarningCode
{
    /// <summary>A sentence of an older record, or a code of a newer version: only the message tells.</summary>
    Unknown,

    /// <summary>The file holds several pictures; the first was used.</summary>
    OnlyFirstPictureUsed,

    /// <summary>The printed card's print is trusted to 0.3 % only.</summary>
    CardPrintUnchecked,

    /// <summary>A piece card's number cannot be read.</summary>
    PieceCardNotReadable,

    /// <summary>Piece cards of different pieces or surfaces.</summary>
    PieceCardsDisagree,

    /// <summary>The piece card names an end and a face was measured, or the other way round.</summary>
    PieceCardViewDiffers,

    /// <summary>The stated sides fit the outline poorly.</summary>
    OutlineSizeFitsPoorly,

    /// <summary>A steel rule was read as millimetres by custom alone.</summary>
    RuleUnitAssumed,

    /// <summary>Only the part of the piece that shows was measured.</summary>
    PieceRunsOffPhoto,

    /// <summary>No edge of the piece shows.</summary>
    PieceFillsPhoto,

    /// <summary>The given outline does not follow the wood's edge on some side.</summary>
    OutlineOffEdge,

    /// <summary>The face was taken for flat grain.</summary>
    TakenForFlatGrain,

    /// <summary>The ring angle to the face is not known, so the slope's interval is wide.</summary>
    RingAngleNotKnown,

    /// <summary>The printed check target, not wood.</summary>
    NotWood,

    /// <summary>The check target's marker and the request differ; the marker was believed.</summary>
    CheckTargetDiffers,

    /// <summary>The request's member of <see cref="Warning.Member"/> is not known.</summary>
    MemberIgnored,

    /// <summary>The form's part of <see cref="Warning.Member"/> is not known.</summary>
    FormPartIgnored,

    /// <summary>The manifest names files that are not in the upload.</summary>
    ManifestFilesMissing,
}

/// <summary>A warning: the code for programs, the message for people.</summary>
/// <param name="Code">Which one.</param>
/// <param name="Message">One or two sentences.</param>
[JsonConverter(typeof(WarningJson))]
public sealed record Warning(WarningCode Code, string Message)
{
    /// <summary>Name of the member or part that was ignored; null for the other codes.</summary>
    public string? Member { get; init; }
}

/// <summary><c>{code, message, member?}</c>; a plain string, as records from before the codes hold it, reads as a message without a code.</summary>
public sealed class WarningJson : JsonConverter<Warning>
{
    private static readonly Dictionary<string, WarningCode> Codes = Enum.GetValues<WarningCode>().ToDictionary(NameOf, StringComparer.Ordinal);

    public override Warning Read(ref Utf8JsonReader reader, Type typeToConvert, JsonSerializerOptions options)
    {
        if (reader.TokenType == JsonTokenType.String)
            return new Warning(WarningCode.Unknown, reader.GetString()!);
        var shape = JsonSerializer.Deserialize<Shape>(ref reader, options);
        return new Warning(Codes.GetValueOrDefault(shape?.Code ?? ""), shape?.Message ?? "") { Member = shape?.Member };
    }

    public override void Write(Utf8JsonWriter writer, Warning value, JsonSerializerOptions options)
    {
        ArgumentNullException.ThrowIfNull(value);
        JsonSerializer.Serialize(writer, new Shape(NameOf(value.Code), value.Message, value.Member), options);
    }

    private static string NameOf(WarningCode code) => JsonNamingPolicy.KebabCaseLower.ConvertName(code.ToString());

    private sealed record Shape(string? Code, string? Message, string? Member);
}
