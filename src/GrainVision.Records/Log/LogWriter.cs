using System.Globalization;
using System.Text;
using System.Text.Json;
using GrainVision.Grading.Findings;
using Microsoft.Data.Sqlite;

namespace GrainVision.Records.Log;

/// <summary>
/// Adds to the log, in the transaction of whatever is recorded: either both are kept or neither.
/// </summary>
public static class LogWriter
{
    /// <summary>Milliseconds, always UTC.</summary>
    public const string TimeFormat = "yyyy-MM-dd'T'HH:mm:ss.fff'Z'";

    /// <summary>Appends one entry. It is in the log for good once the caller commits.</summary>
    /// <param name="transaction">An immediate one (<c>BeginTransaction(deferred: false)</c>): the head must not move between reading and writing.</param>
    /// <param name="draft">What happened.</param>
    public static LogEntry Append(SqliteTransaction transaction, LogEntryDraft draft)
    {
        ArgumentNullException.ThrowIfNull(transaction);
        ArgumentNullException.ThrowIfNull(draft);
        var connection = transaction.Connection ?? throw new InvalidOperationException("The transaction has ended.");
        var (number, previous, latest) = Head(connection, transaction);
        var at = draft.At.ToUniversalTime().ToString(TimeFormat, CultureInfo.InvariantCulture);
        if (string.CompareOrdinal(at, latest) < 0)
            at = latest; // the clock was set back
        var content = CanonicalJson.From(JsonSerializer.SerializeToElement(new Content(at, draft), ContractJson.Options));
        var contentSha256 = LogHash.Compute(content);
        var entry = new LogEntry(number + 1, previous, contentSha256, LogHash.OfEntry(number + 1, previous, contentSha256), Encoding.UTF8.GetString(content));
        Insert(connection, transaction, entry, at, draft);
        return entry;
    }

    private static (long Number, string Sha256, string At) Head(SqliteConnection connection, SqliteTransaction transaction)
    {
        using var ask = connection.CreateCommand();
        ask.Transaction = transaction;
        ask.CommandText = "SELECT number, sha256, at_utc FROM log ORDER BY number DESC LIMIT 1;";
        using var row = ask.ExecuteReader();
        return row.Read() ? (row.GetInt64(0), row.GetString(1), row.GetString(2)) : (0, LogEntry.NoPrevious, "");
    }

    private static void Insert(SqliteConnection connection, SqliteTransaction transaction, LogEntry entry, string at, LogEntryDraft draft)
    {
        using var add = connection.CreateCommand();
        add.Transaction = transaction;
        add.CommandText = """
            INSERT INTO log (number, previous_sha256, content_sha256, sha256, content, at_utc, kind, who, delivery, piece, measurement, decision, rule_book)
            VALUES ($number, $previous, $contentSha, $sha, $content, $at, $kind, $who, $delivery, $piece, $measurement, $decision, $ruleBook);
            """;
        add.Parameters.AddWithValue("$number", entry.Number);
        add.Parameters.AddWithValue("$previous", entry.PreviousSha256);
        add.Parameters.AddWithValue("$contentSha", entry.ContentSha256);
        add.Parameters.AddWithValue("$sha", entry.Sha256);
        add.Parameters.AddWithValue("$content", entry.Content);
        add.Parameters.AddWithValue("$at", at);
        add.Parameters.AddWithValue("$kind", draft.Kind);
        add.Parameters.AddWithValue("$who", draft.Who);
        add.Parameters.AddWithValue("$delivery", (object?)draft.Subjects.Delivery ?? DBNull.Value);
        add.Parameters.AddWithValue("$piece", (object?)draft.Subjects.Piece ?? DBNull.Value);
        add.Parameters.AddWithValue("$measurement", (object?)draft.Subjects.Measurement ?? DBNull.Value);
        add.Parameters.AddWithValue("$decision", (object?)draft.Subjects.Decision ?? DBNull.Value);
        add.Parameters.AddWithValue("$ruleBook", (object?)draft.Subjects.RuleBook ?? DBNull.Value);
        add.ExecuteNonQuery();
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

        public string? PhotoSha256 => draft.PhotoSha256;

        public string? PictureSha256 => draft.PictureSha256;

        public object Body => draft.Body;
    }
}
