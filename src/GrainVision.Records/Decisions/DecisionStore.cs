using System.Data.Common;
using Dapper;
using GrainVision.Grading.ByHand;
using GrainVision.Grading.Deliveries;
using GrainVision.Grading.Refusals;
using GrainVision.Records.HandFindings;
using GrainVision.Records.Log;
using GrainVision.Records.Measurements;
using GrainVision.Records.Schema;

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
    /// <param name="decide">Makes the decision from all hand findings of the piece that count, the new ones last.</param>
    public Outcome<StoredDecision> Add(
        string piece, IReadOnlyList<HandFinding> hands, Recording recording, DateTimeOffset now, IdempotencyKey? key,
        Func<IReadOnlyList<StoredFinding>, Outcome<Decision>> decide)
    {
        ArgumentNullException.ThrowIfNull(recording);
        using var writing = database.Write();
        var transaction = writing.Transaction;
        if (key is not null && FindByKey(transaction, key) is { } first)
            return first;
        var outcome = Add(transaction, piece, hands, recording, now, key, decide);
        if (!outcome.TryGet(out var stored, out _))
            return outcome; // the transaction rolls back
        writing.Commit();
        return stored;
    }

    /// <summary>The same inside a transaction of the caller's (an immediate one), which must be rolled back where the answer is a refusal.</summary>
    public static Outcome<StoredDecision> Add(
        DbTransaction transaction, string piece, IReadOnlyList<HandFinding> hands, Recording recording, DateTimeOffset now, IdempotencyKey? key,
        Func<IReadOnlyList<StoredFinding>, Outcome<Decision>> decide)
    {
        ArgumentNullException.ThrowIfNull(transaction);
        ArgumentNullException.ThrowIfNull(hands);
        ArgumentNullException.ThrowIfNull(recording);
        ArgumentNullException.ThrowIfNull(decide);
        foreach (var hand in hands)
        {
            if (FindingStore.Enter(transaction, piece, hand, recording, now).Refusal is { } wrong)
                return wrong;
        }

        if (!decide([.. FindingStore.OfPiece(transaction, piece).Where(f => f.CorrectedBy is null)]).TryGet(out var decision, out var refusal))
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
            Key = key?.ToEntry(),
            Body = decision,
        });
        DecisionRows.Insert(transaction, entry.Number, decision);
        if (key is not null)
            Take(transaction, key, entry.Number);
        return new StoredDecision(entry, null);
    }

    /// <summary>The decision, or null where there is none of that id.</summary>
    public StoredDecision? Find(string id)
    {
        using var connection = database.Connect();
        return connection.QueryFirstOrDefault<DecisionRows.Row>($"SELECT {DecisionRows.Columns} FROM {DecisionRows.Tables} WHERE d.id = @id;", new { id })?.ToStored();
    }

    /// <summary>A page of decisions, newest first.</summary>
    /// <param name="filter">What to look for.</param>
    /// <param name="before">Only entries of a smaller number; null for the first page.</param>
    /// <param name="most">Decisions of a page.</param>
    public IReadOnlyList<StoredDecision> Page(DecisionFilter filter, long? before, int most)
    {
        ArgumentNullException.ThrowIfNull(filter);
        using var connection = database.Connect();
        return DecisionRows.Page(connection, filter, before, most);
    }

    /// <summary>Id of the decision in force.</summary>
    /// <remarks>The plus keeps SQLite off the index of uses: walking all decisions of a use made every append slower than the one before.</remarks>
    private static string? Current(DbTransaction transaction, string piece, string ruleBook) => transaction.Connection!.ExecuteScalar<string?>(
        "SELECT id FROM decisions WHERE piece = @piece AND +rule_book = @ruleBook ORDER BY number DESC LIMIT 1;", new { piece, ruleBook }, transaction);

    /// <summary>Every decision on a piece, oldest first, as far as a report tells.</summary>
    public IReadOnlyList<DecisionOnRecord> History(string piece)
    {
        using var connection = database.Connect();
        return DecisionRows.History(connection, "d.piece = @piece", new { piece });
    }

    /// <summary>The same of every piece of a delivery, by piece.</summary>
    public ILookup<string, DecisionOnRecord> HistoryOfDelivery(string delivery)
    {
        using var connection = database.Connect();
        return DecisionRows.History(connection, "d.piece IN (SELECT id FROM pieces WHERE delivery_id = @delivery)", new { delivery }).ToLookup(d => d.Piece, StringComparer.Ordinal);
    }

    private static Refusal NotCurrent(string? current) => current is null
        ? RefusalCatalog.DecisionNotCurrent.Because("There is no decision to supersede for this piece and use.")
        : RefusalCatalog.DecisionNotCurrent.Because($"The decision in force for this piece and use is {current}.", $"Look at it (GET /v1/pieces/.../decisions); to decide anew give {current} as 'supersedes'.");

    private static Outcome<StoredDecision>? FindByKey(DbTransaction transaction, IdempotencyKey key)
    {
        var taken = transaction.Connection!.QueryFirstOrDefault<TakenKey>(
            "SELECT decision AS Decision, content_sha256 AS ContentSha256 FROM decision_keys WHERE client = @Client AND key = @Key;", new { key.Client, key.Key }, transaction);
        if (taken is null)
            return null;
        if (taken.ContentSha256 != key.ContentSha256)
            return KeyReused;
        var first = transaction.Connection!.QueryFirst<DecisionRows.Row>(
            $"SELECT {DecisionRows.Columns} FROM {DecisionRows.Tables} WHERE d.id = @Decision;", new { taken.Decision }, transaction);
        return first.ToStored() with { SupersededBy = null }; // the first answer did not know of a later decision either
    }

    private static void Take(DbTransaction transaction, IdempotencyKey key, long number) => transaction.Connection!.Execute(
        "INSERT INTO decision_keys (client, key, content_sha256, decision) SELECT @Client, @Key, @ContentSha256, id FROM decisions WHERE number = @number;",
        new { key.Client, key.Key, key.ContentSha256, number }, transaction);

    private sealed record TakenKey(string Decision, string ContentSha256);
}
