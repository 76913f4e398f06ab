using System.Data.Common;
using Dapper;
using GrainVision.Grading.ByHand;
using GrainVision.Grading.Refusals;
using GrainVision.Records.Log;
using GrainVision.Records.Measurements;
using GrainVision.Records.Schema;

namespace GrainVision.Records.HandFindings;

/// <summary>
/// Hand findings of pieces: readings, answers, hand measurements. Each is an entry of the log; a wrong one is corrected by a later one that names it, never
/// edited.
/// </summary>
public sealed class FindingStore(RecordsDatabase database)
{
    private static readonly Refusal KeyReused = RefusalCatalog.IdempotencyKeyReused.Because("This Idempotency-Key was used for other findings.");

    /// <summary>Enters findings in one transaction: all or nothing. The same key and content again gives the first answer.</summary>
    /// <param name="piece">The piece they are of.</param>
    /// <param name="findings">At least one.</param>
    /// <param name="recording">Who enters them.</param>
    /// <param name="now">When.</param>
    /// <param name="key">The caller's key, or null.</param>
    public Outcome<IReadOnlyList<StoredFinding>> Add(string piece, IReadOnlyList<HandFinding> findings, Recording recording, DateTimeOffset now, IdempotencyKey? key)
    {
        ArgumentNullException.ThrowIfNull(findings);
        ArgumentNullException.ThrowIfNull(recording);
        using var writing = database.Write();
        var transaction = writing.Transaction;
        if (key is not null && FindByKey(transaction, key) is { } first)
            return first;
        var numbers = new List<long>();
        foreach (var (i, finding) in findings.Index())
        {
            var answered = i == findings.Count - 1 ? key : null; // the last entry says what all of them answer
            if (!Enter(transaction, piece, finding, recording, now, answered, numbers.Count == 0 ? null : numbers[0]).TryGet(out var entry, out var refusal))
                return refusal; // the transaction rolls back
            numbers.Add(entry.Number);
        }

        if (key is not null)
        {
            transaction.Connection!.Execute(
                "INSERT INTO finding_keys (client, key, content_sha256, first_number, last_number) VALUES (@Client, @Key, @ContentSha256, @first, @last);",
                new { key.Client, key.Key, key.ContentSha256, first = numbers[0], last = numbers[^1] }, transaction);
        }

        var entered = FindingRows.Between(transaction.Connection!, numbers[0], numbers[^1], transaction);
        writing.Commit();
        return Outcome<IReadOnlyList<StoredFinding>>.ToOutcome(entered);
    }

    /// <summary>Enters one inside a transaction of the caller's (an immediate one), which must be rolled back where the answer is a refusal.</summary>
    /// <param name="transaction">The caller's.</param>
    /// <param name="piece">The piece it is of.</param>
    /// <param name="finding">What was found.</param>
    /// <param name="recording">Who enters it.</param>
    /// <param name="now">When.</param>
    /// <param name="key">The key of the request that ends with it; null otherwise.</param>
    /// <param name="first">Entry of the first finding of that request; null where it is this one.</param>
    public static Outcome<LogEntry> Enter(
        DbTransaction transaction, string piece, HandFinding finding, Recording recording, DateTimeOffset now, IdempotencyKey? key = null, long? first = null)
    {
        ArgumentNullException.ThrowIfNull(transaction);
        ArgumentNullException.ThrowIfNull(finding);
        ArgumentNullException.ThrowIfNull(recording);
        if (finding.Corrects is { } earlier && WhyNotCorrected(transaction, piece, earlier) is { } why)
            return RefusalCatalog.FindingNotCurrent.Because(why);
        var entry = LogWriter.Append(transaction, new LogEntryDraft
        {
            Kind = LogKind.HandMeasurement,
            Who = recording.Who,
            At = now,
            Why = finding.Note,
            Subjects = new EntrySubjects { Delivery = recording.Delivery, Piece = piece, Measurement = finding.Measurement },
            Key = key?.ToEntry(first),
            Body = finding,
        });
        FindingRows.Insert(transaction, entry.Number, piece, finding);
        return entry;
    }

    /// <summary>All findings of a piece, oldest first, corrected ones too.</summary>
    public IReadOnlyList<StoredFinding> OfPiece(string piece)
    {
        using var connection = database.Connect();
        return FindingRows.OfPiece(connection, piece);
    }

    /// <summary>The same, as a transaction sees them.</summary>
    public static IReadOnlyList<StoredFinding> OfPiece(DbTransaction transaction, string piece)
    {
        ArgumentNullException.ThrowIfNull(transaction);
        return FindingRows.OfPiece(transaction.Connection!, piece, transaction);
    }

    /// <summary>Findings of every piece of a delivery, oldest first, by piece.</summary>
    public ILookup<string, StoredFinding> OfDelivery(string delivery)
    {
        using var connection = database.Connect();
        return FindingRows.OfDelivery(connection, delivery).ToLookup(f => f.Piece, StringComparer.Ordinal);
    }

    /// <summary>What counts of them, oldest first: corrected ones do not.</summary>
    public static IReadOnlyList<HandFinding> InForce(IEnumerable<StoredFinding> findings) => [.. findings.Where(f => f.CorrectedBy is null).Select(f => f.Finding)];

    private static string? WhyNotCorrected(DbTransaction transaction, string piece, long earlier)
    {
        var before = FindingRows.OfPiece(transaction.Connection!, piece, transaction).FirstOrDefault(f => f.Entry == earlier);
        return before is null ? $"Piece {piece} has no finding of entry {earlier}."
            : before.CorrectedBy is { } by ? $"The finding of entry {earlier} was corrected already, by entry {by}."
            : null;
    }

    private static Outcome<IReadOnlyList<StoredFinding>>? FindByKey(DbTransaction transaction, IdempotencyKey key)
    {
        var taken = transaction.Connection!.QueryFirstOrDefault<TakenKey>(
            "SELECT first_number AS First, last_number AS Last, content_sha256 AS ContentSha256 FROM finding_keys WHERE client = @Client AND key = @Key;",
            new { key.Client, key.Key }, transaction);
        if (taken is null)
            return null;
        if (taken.ContentSha256 != key.ContentSha256)
            return KeyReused;
        // The first answer did not know of a later correction either.
        return Outcome<IReadOnlyList<StoredFinding>>.ToOutcome(
            [.. FindingRows.Between(transaction.Connection!, taken.First, taken.Last, transaction).Select(f => f with { CorrectedBy = null })]);
    }

    private sealed record TakenKey(long First, long Last, string ContentSha256);
}
