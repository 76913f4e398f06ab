using System.Text.Json;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Refusals;
using GrainVision.Grading.Verdicts;
using GrainVision.Records.Log;
using GrainVision.Records.Measurements;
using GrainVision.Records.Schema;
using Microsoft.Data.Sqlite;

namespace GrainVision.Records.Decisions;

/// <summary>Puts decisions and hand findings into the log, with what is searched in them beside it.</summary>
public sealed class DecisionStore(RecordsDatabase database)
{
    private static readonly Refusal KeyReused = RefusalCatalog.IdempotencyKeyReused.Because("This Idempotency-Key was used for another decision.");

    /// <summary>
    /// Enters hand findings and the decision that they lead to, in one transaction: all or nothing. The same key and content again gives the first answer.
    /// </summary>
    /// <param name="piece">The piece decided on.</param>
    /// <param name="hands">New hand findings; may be empty.</param>
    /// <param name="recording">Who enters them, with what versions.</param>
    /// <param name="now">When.</param>
    /// <param name="key">The caller's key, or null.</param>
    /// <param name="decide">Makes the decision from all hand findings of the piece, the new ones last.</param>
    public Outcome<StoredDecision> Add(
        string piece, IReadOnlyList<HandFinding> hands, Recording recording, DateTimeOffset now, IdempotencyKey? key,
        Func<IReadOnlyList<StoredHandFinding>, Outcome<Decision>> decide)
    {
        ArgumentNullException.ThrowIfNull(recording);
        using var writing = database.Write();
        var transaction = writing.Transaction;
        if (key is not null && FindByKey(transaction, key) is { } first)
            return first;
        var outcome = Add(transaction, piece, hands, recording, now, decide);
        if (!outcome.TryGet(out var stored, out _))
            return outcome; // the transaction rolls back
        if (key is not null)
            Take(transaction, key, stored.Entry.Number);
        writing.Commit();
        return stored;
    }

    /// <summary>The same inside a transaction of the caller's (an immediate one), which must be rolled back where the answer is a refusal.</summary>
    public static Outcome<StoredDecision> Add(
        SqliteTransaction transaction, string piece, IReadOnlyList<HandFinding> hands, Recording recording, DateTimeOffset now,
        Func<IReadOnlyList<StoredHandFinding>, Outcome<Decision>> decide)
    {
        ArgumentNullException.ThrowIfNull(transaction);
        ArgumentNullException.ThrowIfNull(hands);
        ArgumentNullException.ThrowIfNull(recording);
        ArgumentNullException.ThrowIfNull(decide);
        foreach (var hand in hands)
            Enter(transaction, piece, hand, recording, now);
        if (!decide(HandFindings(transaction, piece)).TryGet(out var decision, out var refusal))
            return refusal;
        if (Current(transaction, piece, decision.RuleBook) is var current && current != decision.Supersedes)
            return NotCurrent(current);
        var entry = LogWriter.Append(transaction, new LogEntryDraft
        {
            Kind = decision.Override ? LogKind.Override : LogKind.Decision,
            Who = recording.Who,
            At = now,
            Why = decision.Reason,
            Versions = recording.Versions with { RuleBook = $"{decision.RuleBook} {decision.RuleBookVersion}" },
            Subjects = new EntrySubjects { Delivery = decision.Delivery, Piece = piece, Decision = decision.Id, RuleBook = decision.RuleBook },
            Body = decision,
        });
        DecisionRows.Insert(transaction, entry.Number, decision);
        return new StoredDecision(entry, null);
    }

    /// <summary>Enters one hand finding.</summary>
    public static LogEntry Enter(SqliteTransaction transaction, string piece, HandFinding finding, Recording recording, DateTimeOffset now)
    {
        ArgumentNullException.ThrowIfNull(recording);
        ArgumentNullException.ThrowIfNull(finding);
        return LogWriter.Append(transaction, new LogEntryDraft
        {
            Kind = LogKind.HandMeasurement,
            Who = recording.Who,
            At = now,
            Why = finding.Note,
            Subjects = new EntrySubjects { Delivery = recording.Delivery, Piece = piece, Measurement = finding.Measurement },
            Body = finding,
        });
    }

    /// <summary>The decision, or null where there is none of that id.</summary>
    public StoredDecision? Find(string id)
    {
        using var connection = database.Connect();
        using var find = connection.CreateCommand();
        find.CommandText = $"{DecisionRows.Select} WHERE d.id = $id;";
        find.Parameters.AddWithValue("$id", id);
        return DecisionRows.Read(find).FirstOrDefault();
    }

    /// <summary>A page of decisions, newest first.</summary>
    /// <param name="filter">What to look for.</param>
    /// <param name="before">Only entries of a smaller number; null for the first page.</param>
    /// <param name="most">Decisions of a page.</param>
    public IReadOnlyList<StoredDecision> Page(DecisionFilter filter, long? before, int most)
    {
        ArgumentNullException.ThrowIfNull(filter);
        using var connection = database.Connect();
        using var find = DecisionRows.Find(connection, filter, before, most);
        return DecisionRows.Read(find);
    }

    private static List<StoredHandFinding> HandFindings(SqliteTransaction transaction, string piece)
    {
        using var find = transaction.Connection!.CreateCommand();
        find.Transaction = transaction;
        find.CommandText = "SELECT number, content -> '$.body' FROM log WHERE piece = $piece AND kind = $kind ORDER BY number;";
        find.Parameters.AddWithValue("$piece", piece);
        find.Parameters.AddWithValue("$kind", LogKind.HandMeasurement);
        using var row = find.ExecuteReader();
        var found = new List<StoredHandFinding>();
        while (row.Read())
            found.Add(new StoredHandFinding(row.GetInt64(0), JsonSerializer.Deserialize<HandFinding>(row.GetString(1), ContractJson.Options)!));
        return found;
    }

    private static string? Current(SqliteTransaction transaction, string piece, string ruleBook)
    {
        using var find = transaction.Connection!.CreateCommand();
        find.Transaction = transaction;
        // The plus keeps SQLite off the index of uses: walking all decisions of a use made every append slower than the one before.
        find.CommandText = "SELECT id FROM decisions WHERE piece = $piece AND +rule_book = $book ORDER BY number DESC LIMIT 1;";
        find.Parameters.AddWithValue("$piece", piece);
        find.Parameters.AddWithValue("$book", ruleBook);
        return find.ExecuteScalar() as string;
    }

    private static Refusal NotCurrent(string? current) => current is null
        ? RefusalCatalog.DecisionNotCurrent.Because("There is no decision to supersede for this piece and use.")
        : RefusalCatalog.DecisionNotCurrent.Because($"The decision in force for this piece and use is {current}.", $"Look at it (GET /v1/pieces/.../decisions); to decide anew send \"supersedes\":\"{current}\".");

    private static Outcome<StoredDecision>? FindByKey(SqliteTransaction transaction, IdempotencyKey key)
    {
        using var find = transaction.Connection!.CreateCommand();
        find.Transaction = transaction;
        find.CommandText = $"{DecisionRows.SelectWith("k.content_sha256")} JOIN decision_keys k ON k.decision = d.id WHERE k.client = $client AND k.key = $key;";
        find.Parameters.AddWithValue("$client", key.Client);
        find.Parameters.AddWithValue("$key", key.Key);
        using var row = find.ExecuteReader();
        if (!row.Read())
            return null;
        // The first answer did not know of a later decision either.
        return row.GetString(6) == key.ContentSha256 ? DecisionRows.Read(row) with { SupersededBy = null } : KeyReused;
    }

    private static void Take(SqliteTransaction transaction, IdempotencyKey key, long number)
    {
        using var take = transaction.Connection!.CreateCommand();
        take.Transaction = transaction;
        take.CommandText = "INSERT INTO decision_keys (client, key, content_sha256, decision) SELECT $client, $key, $content, id FROM decisions WHERE number = $number;";
        take.Parameters.AddWithValue("$client", key.Client);
        take.Parameters.AddWithValue("$key", key.Key);
        take.Parameters.AddWithValue("$content", key.ContentSha256);
        take.Parameters.AddWithValue("$number", number);
        take.ExecuteNonQuery();
    }
}
