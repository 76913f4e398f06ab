using System.Text.Json.Serialization;

namespace GrainVision.Records.Log;

/// <summary>Kinds of problem that verifying names, for programs.</summary>
public enum LogProblemCode
{
    /// <summary>A line or a stored content is cut off, or is no entry.</summary>
    [JsonStringEnumMemberName("unreadable")]
    Unreadable,

    [JsonStringEnumMemberName("entry-missing")]
    EntryMissing,

    /// <summary>An entry was moved, repeated or inserted.</summary>
    [JsonStringEnumMemberName("entry-out-of-place")]
    EntryOutOfPlace,

    /// <summary>A content is withheld in what is said to be the whole log.</summary>
    [JsonStringEnumMemberName("content-withheld")]
    ContentWithheld,

    [JsonStringEnumMemberName("content-changed")]
    ContentChanged,

    /// <summary>A content is not written as RFC 8785 says.</summary>
    [JsonStringEnumMemberName("content-not-canonical")]
    ContentNotCanonical,

    /// <summary>An entry is older than the one before it.</summary>
    [JsonStringEnumMemberName("time-goes-back")]
    TimeGoesBack,

    /// <summary>A photo or picture is missing, or has another hash.</summary>
    [JsonStringEnumMemberName("photo-differs")]
    PhotoDiffers,

    /// <summary>An entry names another entry before it than the one that stands there.</summary>
    [JsonStringEnumMemberName("chain-broken")]
    ChainBroken,

    /// <summary>An entry's own hash does not follow from its parts.</summary>
    [JsonStringEnumMemberName("hash-differs")]
    HashDiffers,

    /// <summary>An entry is not the one that a checkpoint was made of.</summary>
    [JsonStringEnumMemberName("checkpoint-differs")]
    CheckpointDiffers,

    /// <summary>A checkpoint was made of an entry that is not there: cut off, or an older state put back.</summary>
    [JsonStringEnumMemberName("checkpoint-beyond-log")]
    CheckpointBeyondLog,

    /// <summary>Two checkpoints say different things of one entry.</summary>
    [JsonStringEnumMemberName("checkpoints-disagree")]
    CheckpointsDisagree,

    /// <summary>A column by which entries or decisions are found says something else than the log.</summary>
    [JsonStringEnumMemberName("search-column-changed")]
    SearchColumnChanged,

    /// <summary>A row that the log speaks of is not in the records.</summary>
    [JsonStringEnumMemberName("record-missing")]
    RecordMissing,

    /// <summary>A row says something else than the log.</summary>
    [JsonStringEnumMemberName("record-changed")]
    RecordChanged,

    /// <summary>A row of the records has no entry.</summary>
    [JsonStringEnumMemberName("record-not-in-log")]
    RecordNotInLog,
}

/// <summary>What is wrong with a log, at the first place where it shows.</summary>
/// <param name="Code">For programs.</param>
/// <param name="Number">The entry that is bad, or that is missing.</param>
/// <param name="Line">Line of the export, from 1; 0 where no line shows it.</param>
/// <param name="What">One sentence for a person.</param>
/// <param name="Expected">What should stand there.</param>
/// <param name="Found">What stands there.</param>
public sealed record LogProblem(LogProblemCode Code, long Number, long Line, string What, string? Expected = null, string? Found = null)
{
    /// <summary>The table that differs from the log; null where the log itself is bad.</summary>
    public string? Table { get; init; }

    /// <summary>Its row: the key, parts of it apart by a space.</summary>
    public string? Row { get; init; }

    /// <summary>The row's column; null where the whole row is missing or too many.</summary>
    public string? Column { get; init; }
}

/// <summary>What verifying found.</summary>
/// <param name="Entries">Entries that were checked in full.</param>
/// <param name="Withheld">Entries of which only the place in the chain was shown.</param>
/// <param name="First">Number of the first entry; 0 where there is none.</param>
/// <param name="Head">Number of the last good entry; 0 where there is none.</param>
/// <param name="HeadSha256">Its hash.</param>
/// <param name="Photos">Photos and pictures whose hash was checked.</param>
/// <param name="Checkpoints">Checkpoints that the log agrees with.</param>
/// <param name="Problem">The first bad entry; null where all is well.</param>
public sealed record LogVerification(
    long Entries, long Withheld, long First, long Head, string HeadSha256, long Photos, int Checkpoints, LogProblem? Problem)
{
    public bool IsWhole => Problem is null;
}
