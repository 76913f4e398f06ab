using System.Data.Common;
using System.Globalization;
using System.Text;
using System.Text.Json;
using Dapper;
using GrainVision.Grading.Findings;
using GrainVision.Records.Schema;

namespace GrainVision.Records.Log;

/// <summary>
/// Adds to the log, in the transaction of whatever is recorded: either both are kept or neither.
/// </summary>
public static class LogWriter
{
    /// <summary>Milliseconds, always UTC.</summary>
    public const string TimeFormat = "yyyy-MM-dd'T'HH:mm:ss.fff'Z'";

    /// <summary>Appends one entry. It is in the log for good once the caller commits.</summary>
    /// <param name="transaction">One that holds the write lock from its start (<c>RecordsDatabase.Write</c>): the head must not move between reading and writing.</param>
    /// <param name="draft">What happened.</param>
    public static LogEntry Append(DbTransaction transaction, LogEntryDraft draft)
    {
        ArgumentNullException.ThrowIfNull(transaction);
        ArgumentNullException.ThrowIfNull(draft);
        var connection = transaction.Connection ?? throw new InvalidOperationException("The transaction has ended.");
        var (number, previous, latest) = connection.QueryFirstOrDefault<Head>(
            "SELECT number AS Number, sha256 AS Sha256, at_utc AS At FROM log ORDER BY number DESC LIMIT 1;", null, transaction) ?? Head.Empty;
        var at = draft.At.ToUniversalTime().ToString(TimeFormat, CultureInfo.InvariantCulture);
        if (string.CompareOrdinal(at, latest) < 0)
            at = latest; // the clock was set back
        var content = CanonicalJson.From(JsonSerializer.SerializeToElement(new Content(at, draft), ContractJson.Options));
        var contentSha256 = LogHash.Compute(content);
        var entry = new LogEntry(number + 1, previous, contentSha256, LogHash.OfEntry(number + 1, previous, contentSha256), Encoding.UTF8.GetString(content));
        connection.Execute(
            """
            INSERT INTO log (number, previous_sha256, content_sha256, sha256, content, at_utc, kind, who, delivery, piece, measurement, decision, rule_book)
            VALUES (@Number, @PreviousSha256, @ContentSha256, @Sha256, @Content, @at, @Kind, @Who, @Delivery, @Piece, @Measurement, @Decision, @RuleBook);
            """,
            NamedValues.From(new
            {
                entry.Number, entry.PreviousSha256, entry.ContentSha256, entry.Sha256, entry.Content, at, draft.Kind, draft.Who,
                draft.Subjects.Delivery, draft.Subjects.Piece, draft.Subjects.Measurement, draft.Subjects.Decision, draft.Subjects.RuleBook,
            }),
            transaction);
        return entry;
    }

    /// <summary>The last entry, as far as the next one needs it.</summary>
    private sealed record Head(long Number, string Sha256, string At)
    {
        public static Head Empty { get; } = new(0, LogEntry.NoPrevious, "");
    }

    /// <summary>The content's members; canonical order is made later.</summary>
    private sealed class Content(string at, LogEntryDraft draft)
    {
        public string At => at;

        public string Who => draft.Who;

        public string? Why => draft.Why;

        public string Kind => draft.Kind;

        public EntryVersions Versions => draft.Versions;

        public EntrySubjects Subjects => draft.Subjects;

        public EntryKey? Key => draft.Key;

        public string? PhotoSha256 => draft.PhotoSha256;

        public string? PictureSha256 => draft.PictureSha256;

        public object Body => draft.Body;
    }
}
