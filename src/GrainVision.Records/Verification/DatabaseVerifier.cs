using System.Data.Common;
using Dapper;
using GrainVision.Records.Log;
using GrainVision.Records.Projection;
using GrainVision.Records.Schema;

namespace GrainVision.Records.Verification;

/// <summary>
/// Verifies the log inside its database: the chain, and that every row is what the log says, both ways. Measurements, decisions and findings are held against
/// their entries while these are read; all other rows are worked out from the log and compared at its end.
/// </summary>
public static class DatabaseVerifier
{
    /// <summary>Rows of one entry each that no entry stands for, put in beside the log: their table, and the id of one.</summary>
    private static readonly (string Table, string Sql)[] Unlogged =
    [
        ("measurements", "SELECT m.id FROM measurements m WHERE NOT EXISTS (SELECT 1 FROM log l WHERE l.measurement = m.id AND l.kind = 'measurement') LIMIT 1;"),
        ("decisions", "SELECT d.id FROM decisions d WHERE NOT EXISTS (SELECT 1 FROM log l WHERE l.number = d.number AND l.decision = d.id) LIMIT 1;"),
        ("findings", "SELECT f.number || '' FROM findings f WHERE NOT EXISTS (SELECT 1 FROM log l WHERE l.number = f.number AND l.kind = 'handMeasurement') LIMIT 1;"),
    ];

    /// <summary>Verifies all of it, in one state of the database.</summary>
    /// <returns>The problem of the smallest entry; rows are not compared beyond a bad entry of the log itself, which says nothing from there on.</returns>
    public static LogVerification Verify(
        RecordsDatabase database, IEnumerable<Checkpoint>? checkpoints, Func<string, string?>? photoProblem, CancellationToken cancel)
    {
        ArgumentNullException.ThrowIfNull(database);
        var verifier = new LogVerifier(checkpoints, photoProblem);
        using var connection = database.Connect();
        using var transaction = connection.BeginTransaction(deferred: true); // one state: entries added meanwhile are not seen; never committed
        using var projection = new LogProjection(transaction);
        var limits = new DecisionIndexVerifier(transaction);
        var entries = new EntryRows(limits);
        LogProblem? differs = null;
        foreach (var row in connection.Query<RecordedEntry>(RecordedEntry.Select, null, transaction, buffered: false))
        {
            cancel.ThrowIfCancellationRequested();
            using var entry = ShownEntry.From(row.ToEntry());
            if (!verifier.Add(entry))
                break;
            var content = entry!.Content!.Value;
            differs ??= entries.Problem(row, content);
            if (!TryProject(projection, row.Number, content))
                differs = First(differs, row.Problem(LogProblemCode.Unreadable, $"What entry {row.Number} says cannot be read by this program.", null, null));
        }

        // Decisions before the first problem may still have rows that differ: those are looked for in batches.
        differs = First(differs, limits.Finish());
        var found = verifier.Finish();
        if (found.IsWhole)
        {
            differs = First(differs, RowComparison.FirstDifference(transaction, found.Head, cancel));
            differs ??= limits.Surplus(found.Head) ?? Surplus(transaction, found.Head);
        }

        return First(differs, found.Problem) is { } problem ? found with { Problem = problem } : found;
    }

    private static bool TryProject(LogProjection projection, long number, System.Text.Json.JsonElement content)
    {
        try
        {
            projection.Add(number, content);
            return true;
        }
        catch (Exception e) when (e is InvalidOperationException or KeyNotFoundException or FormatException)
        {
            return false; // a member is missing or of another kind
        }
    }

    private static LogProblem? First(LogProblem? one, LogProblem? other) => one is null || other is null ? one ?? other : one.Number <= other.Number ? one : other;

    private static LogProblem? Surplus(DbTransaction transaction, long head)
    {
        foreach (var (table, sql) in Unlogged)
        {
            if (transaction.Connection!.ExecuteScalar<string?>(sql, null, transaction) is { } id)
                return new LogProblem(LogProblemCode.RecordNotInLog, head, 0, $"The row {id} of {table} is in the records but not in the log.", "an entry", "nothing") { Table = table, Row = id };
        }

        return null;
    }
}
