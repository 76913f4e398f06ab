using System.Text.Json;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Trials;
using GrainVision.Records.Log;
using GrainVision.Records.Measurements;
using GrainVision.Records.Schema;

namespace GrainVision.Records.Trials;

/// <summary>A photo of a trial, as it is kept: with its measurement, or with why there is none.</summary>
public sealed record TrialPhotoLink
{
    /// <summary>Name of the piece.</summary>
    public required string Piece { get; init; }

    /// <summary>File name.</summary>
    public required string Photo { get; init; }

    /// <summary>Id of its measurement; null where it was refused.</summary>
    public string? Measurement { get; init; }

    /// <summary>Code of the refusal; null where it was measured.</summary>
    public string? Refused { get; init; }
}

/// <summary>A trial on record: what went in, and what came of it. It stands in the log alone.</summary>
/// <param name="By">Who measured by hand.</param>
/// <param name="ByHand">The hand's values.</param>
/// <param name="Photos">Photos, by the ids of their measurements.</param>
/// <param name="Report">How they agree.</param>
public sealed record TrialEntry(string By, IReadOnlyList<HandReading> ByHand, IReadOnlyList<TrialPhotoLink> Photos, TrialReport Report);

/// <summary>Trials: entries of the log.</summary>
public sealed class TrialStore(RecordsDatabase database, LogReader log)
{
    /// <summary>Enters a trial.</summary>
    public LogEntry Add(TrialEntry trial, Recording recording, DateTimeOffset now)
    {
        ArgumentNullException.ThrowIfNull(recording);
        using var writing = database.Write();
        var entry = LogWriter.Append(writing.Transaction, new LogEntryDraft
        {
            Kind = LogKind.Trial, Who = recording.Who, At = now, Versions = recording.Versions, Subjects = new EntrySubjects(), Body = trial,
        });
        writing.Commit();
        return entry;
    }

    /// <summary>The trial of an entry with when it was entered, or null where the entry is none.</summary>
    public (TrialEntry Trial, DateTimeOffset At)? Find(long number)
    {
        if (log.Find(number) is not { } entry)
            return null;
        using var content = JsonDocument.Parse(entry.Content);
        var root = content.RootElement;
        return root.GetProperty("kind").GetString() == LogKind.Trial
            ? (root.GetProperty("body").Deserialize<TrialEntry>(ContractJson.Options)!, root.GetProperty("at").GetDateTimeOffset())
            : null;
    }
}
