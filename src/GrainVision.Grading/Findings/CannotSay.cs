using System.Text.Json;
using System.Text.Json.Serialization;

namespace GrainVision.Grading.Findings;

/// <summary>What cannot be told from a photo or a piece, why, and what a person must do instead.</summary>
/// <param name="What">What it is about.</param>
/// <param name="Why">Why it cannot be told, for a person.</param>
/// <param name="HandCheck">What a person must do instead.</param>
public sealed record CannotSay([property: JsonConverter(typeof(CannotSayTopicJson))] CannotSayTopic What, string Why, string HandCheck)
{
    /// <summary>The topic as it stands in a sentence.</summary>
    [JsonIgnore]
    public string Subject => What switch
    {
        CannotSayTopic.SpiralGrain => "spiral grain",
        CannotSayTopic.LatewoodShare => "latewood share",
        CannotSayTopic.Outline => "where the piece ends",
        CannotSayTopic.PhotoPlace => "place of a photo",
        CannotSayTopic.PlaceAlongPiece => "place along the piece",
        CannotSayTopic.Unknown => "something that this version does not know",
        var topic => CannotSayTopicJson.NameOf(topic),
    };
}

/// <summary>
/// What a <see cref="CannotSay"/> is about. Rings, ring angle, grain and blemishes hold where the rule book asks for them; <see cref="Unknown"/>, the outline and the
/// two places hold always; the others are hand checks.
/// </summary>
public enum CannotSayTopic
{
    /// <summary>A word of another version of the program: it may be anything.</summary>
    Unknown,

    /// <summary>Rings per inch.</summary>
    Rings,

    /// <summary>Ring angle and cut.</summary>
    RingAngle,

    /// <summary>Slope of grain.</summary>
    Grain,

    /// <summary>Blemishes as a whole. An empty list of blemishes means "looked, found none": a photo that was not searched must say this.</summary>
    Blemishes,

    /// <summary>Spiral grain on a face whose slope was read from ring lines.</summary>
    SpiralGrain,

    /// <summary>Where the pith is; whether it is boxed is judged from the ring angle.</summary>
    Pith,

    /// <summary>Share of latewood; no limit needs it.</summary>
    LatewoodShare,

    /// <summary>Size of the section; limits that need the size hold by themselves.</summary>
    Size,

    /// <summary>Whether the outline that was found is the piece's edge all round.</summary>
    Outline,

    /// <summary>Of a piece: a photo cannot show the surface that it is said to show, and was left out.</summary>
    PhotoPlace,

    /// <summary>Of a piece: where along it a photo or a blemish lies; what is not covered holds by itself.</summary>
    PlaceAlongPiece,
}

/// <summary>Topics as camelCase words; a word that is not known reads as <see cref="CannotSayTopic.Unknown"/>.</summary>
public sealed class CannotSayTopicJson : JsonConverter<CannotSayTopic>
{
    private static readonly Dictionary<string, CannotSayTopic> Topics = Enum.GetValues<CannotSayTopic>().ToDictionary(NameOf, StringComparer.Ordinal);

    public override CannotSayTopic Read(ref Utf8JsonReader reader, Type typeToConvert, JsonSerializerOptions options) =>
        reader.TokenType == JsonTokenType.String ? Topics.GetValueOrDefault(reader.GetString()!) : throw new JsonException("A topic is a word.");

    public override void Write(Utf8JsonWriter writer, CannotSayTopic value, JsonSerializerOptions options)
    {
        ArgumentNullException.ThrowIfNull(writer);
        writer.WriteStringValue(NameOf(value));
    }

    internal static string NameOf(CannotSayTopic topic) => JsonNamingPolicy.CamelCase.ConvertName(topic.ToString());
}
