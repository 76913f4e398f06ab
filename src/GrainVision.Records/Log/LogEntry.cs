using System.Buffers;
using System.Text;
using System.Text.Json;

namespace GrainVision.Records.Log;

/// <summary>What an entry records: one word for each kind of thing that happens.</summary>
public static class LogKind
{
    /// <summary>A photo was measured.</summary>
    public const string Measurement = "measurement";

    /// <summary>A verdict was put on record, by rule or by a person within the rules. It may name the one it supersedes.</summary>
    public const string Decision = "decision";

    /// <summary>A person decided more leniently than the rule, for a reason. A decision in all else.</summary>
    public const string Override = "override";

    /// <summary>A person measured or looked, with an instrument.</summary>
    public const string HandMeasurement = "handMeasurement";

    /// <summary>A new version of a rule book came into force.</summary>
    public const string RuleBookVersion = "ruleBookVersion";

    /// <summary>A delivery was entered, with its pieces: what they are judged as.</summary>
    public const string Delivery = "delivery";

    /// <summary>A photo or a printed card was given to a piece.</summary>
    public const string CardAssignment = "cardAssignment";

    /// <summary>Photos of a delivery arrived together: its job, and every photo as it stands since.</summary>
    public const string Upload = "upload";

    /// <summary>What came of a photo: measured, set aside, without a place, to be tried again. The photo as it stands since, whole.</summary>
    public const string PhotoState = "photoState";

    /// <summary>Rows that older versions kept beside the log, entered as they stood at the upgrade. They prove nothing of the time before.</summary>
    public const string Inventory = "inventory";

    /// <summary>Pieces measured by hand were compared with their photos.</summary>
    public const string Trial = "trial";
}

/// <summary>With what an entry's content was made. Null where it does not apply.</summary>
public sealed record EntryVersions
{
    /// <summary>Nothing that was measured or judged.</summary>
    public static EntryVersions None { get; } = new();

    public string? Pipeline { get; init; }

    /// <summary>Trained models, by their hashes.</summary>
    public string? Model { get; init; }

    /// <summary>OpenCV version and the hash of its build information.</summary>
    public string? OpenCv { get; init; }

    /// <summary>The library that draws the pictures.</summary>
    public string? Drawing { get; init; }

    /// <summary>.NET version, system and kind of processor.</summary>
    public string? Runtime { get; init; }

    /// <summary>Id and version, such as <c>spar 1</c>.</summary>
    public string? RuleBook { get; init; }
}

/// <summary>What an entry is about, for searching. Null where it does not apply.</summary>
public sealed record EntrySubjects
{
    public string? Delivery { get; init; }

    public string? Piece { get; init; }

    public string? Measurement { get; init; }

    public string? Decision { get; init; }

    /// <summary>Id without version.</summary>
    public string? RuleBook { get; init; }
}

/// <summary>The idempotency key of the request that an entry answers: a repeat is given the same answer.</summary>
/// <param name="Client">Who gave it.</param>
/// <param name="Key">As sent.</param>
/// <param name="ContentSha256">Of everything that the request held.</param>
public sealed record EntryKey(string Client, string Key, string ContentSha256)
{
    /// <summary>The first of several entries of one request, of which this is the last; null where there is only this one.</summary>
    public long? First { get; init; }
}

/// <summary>An entry before it has its number and its place in the chain.</summary>
public sealed record LogEntryDraft
{
    /// <summary>One of <see cref="LogKind"/>.</summary>
    public required string Kind { get; init; }

    /// <summary>The API key's name, or <c>local</c>.</summary>
    public required string Who { get; init; }

    /// <summary>When it happened. A clock that was set back does not turn the log's time back: the entry then takes the time of the one before.</summary>
    public required DateTimeOffset At { get; init; }

    /// <summary>Why, where somebody said so.</summary>
    public string? Why { get; init; }

    public EntryVersions Versions { get; init; } = EntryVersions.None;

    public EntrySubjects Subjects { get; init; } = new();

    public EntryKey? Key { get; init; }

    /// <summary>Of the photo as received, lower-case hex.</summary>
    public string? PhotoSha256 { get; init; }

    /// <summary>Of the annotated picture, lower-case hex.</summary>
    public string? PictureSha256 { get; init; }

    /// <summary>What happened: anything that the contract's JSON can write, such as an anonymous object or a <see cref="JsonElement"/>.</summary>
    public required object Body { get; init; }
}

/// <summary>An entry as it stands in the log.</summary>
/// <param name="Number">1 and up, without gaps.</param>
/// <param name="PreviousSha256">Of the entry before; 64 zeros for the first.</param>
/// <param name="ContentSha256">Of <paramref name="Content"/>, as UTF-8.</param>
/// <param name="Sha256">Of number, previous hash and content hash: what the next entry names.</param>
/// <param name="Content">Canonical JSON: at, who, why, kind, versions, subjects, key, photoSha256, pictureSha256, body.</param>
public sealed record LogEntry(long Number, string PreviousSha256, string ContentSha256, string Sha256, string Content)
{
    /// <summary>What the first entry names as the one before.</summary>
    public static string NoPrevious { get; } = new('0', 64);

    /// <summary>The entry as one line of an exported log, without line end: canonical JSON.</summary>
    public string ToLine() => Write(withContent: true);

    /// <summary>The entry's place in the chain without what it says: proof for its neighbours.</summary>
    public string ToWithheldLine() => Write(withContent: false);

    /// <summary>Members in canonical order. The content is written as it stands, so that damage to it shows when it is verified.</summary>
    private string Write(bool withContent)
    {
        var to = new ArrayBufferWriter<byte>((withContent ? Content.Length : 0) + 512);
        using (var json = new Utf8JsonWriter(to, new JsonWriterOptions { SkipValidation = true }))
        {
            json.WriteStartObject();
            if (withContent)
            {
                json.WritePropertyName("content"u8);
                json.WriteRawValue(Content, skipInputValidation: true);
            }

            json.WriteString("contentSha256"u8, ContentSha256);
            json.WriteNumber("number"u8, Number);
            json.WriteString("previousSha256"u8, PreviousSha256);
            json.WriteString("sha256"u8, Sha256);
            json.WriteEndObject();
        }

        return Encoding.UTF8.GetString(to.WrittenSpan);
    }
}
