using System.Data.Common;
using System.Globalization;
using System.Text;
using System.Text.Json;
using Dapper;
using GrainVision.Grading.ByHand;
using GrainVision.Grading.Findings;
using GrainVision.Records.HandFindings;
using GrainVision.Records.Log;
using GrainVision.Records.Schema;

namespace GrainVision.Records.Verification;

/// <summary>
/// Verifies the log inside its database: the chain, and that what is searched and answered (columns, measurements, decisions) is what the log says.
/// </summary>
public static class DatabaseVerifier
{
    /// <summary>Rows that no entry stands for, put in beside the log: what they are, and the id of one.</summary>
    private static readonly (string What, string Sql)[] Unlogged =
    [
        ("measurement", "SELECT m.id FROM measurements m WHERE NOT EXISTS (SELECT 1 FROM log l WHERE l.measurement = m.id AND l.kind = 'measurement') LIMIT 1;"),
        ("decision", "SELECT d.id FROM decisions d WHERE NOT EXISTS (SELECT 1 FROM log l WHERE l.number = d.number AND l.decision = d.id) LIMIT 1;"),
        ("finding", "SELECT f.number || '' FROM findings f WHERE NOT EXISTS (SELECT 1 FROM log l WHERE l.number = f.number AND l.kind = 'handMeasurement') LIMIT 1;"),
        ("delivery", "SELECT d.id FROM deliveries d WHERE NOT EXISTS (SELECT 1 FROM log l WHERE l.delivery = d.id AND l.kind = 'delivery') LIMIT 1;"),
        (
            "rule book",
            """
            SELECT b.id || ' ' || b.version FROM rule_books b WHERE NOT EXISTS
                (SELECT 1 FROM log l WHERE l.rule_book = b.id AND l.kind = 'ruleBookVersion' AND l.content ->> '$.body.version' = b.version) LIMIT 1;
            """),
    ];

    /// <summary>Verifies all of it, in one state of the database.</summary>
    public static LogVerification Verify(
        RecordsDatabase database, IEnumerable<Checkpoint>? checkpoints, Func<string, string?>? photoProblem, CancellationToken cancel)
    {
        ArgumentNullException.ThrowIfNull(database);
        var verifier = new LogVerifier(checkpoints, photoProblem);
        using var connection = database.Connect();
        using var transaction = connection.BeginTransaction(deferred: true); // one state: entries added meanwhile are not seen
        LogProblem? differs = null;
        var limits = new DecisionIndexVerifier(transaction);
        foreach (var row in connection.Query<RecordedEntry>(RecordedEntry.Select, null, transaction, buffered: false))
        {
            cancel.ThrowIfCancellationRequested();
            using var entry = ShownEntry.From(row.ToEntry());
            if (!verifier.Add(entry))
                break;
            if ((differs = Differs(row, entry!.Content!.Value, limits)) is not null)
                break;
        }

        // Decisions before the first problem may still have rows that differ: those are looked for in batches, so the counts may reach a batch beyond.
        differs = limits.Finish() ?? differs;
        var found = verifier.Finish();
        differs ??= found.IsWhole ? limits.Surplus(found.Head) ?? Surplus(transaction, found.Head) : null;
        return differs is null ? found : found with { Problem = differs };
    }

    private static LogProblem? Differs(RecordedEntry row, JsonElement content, DecisionIndexVerifier limits)
    {
        foreach (var (column, path, value) in row.SearchColumns())
        {
            if (At(content, path) is var says && says != value)
                return row.Problem(LogProblemCode.SearchColumnChanged, $"The search column '{column}' of entry {row.Number} was changed.", says, value);
        }

        var body = content.GetProperty("body");
        return row.Kind switch
        {
            LogKind.Measurement => Measurement(row, content, body),
            LogKind.Decision or LogKind.Override => Decision(row, body, limits),
            LogKind.HandMeasurement => Finding(row, body),
            _ => null,
        };
    }

    private static LogProblem? Measurement(RecordedEntry row, JsonElement content, JsonElement body)
    {
        if (row.MeasurementJson is not { } answer)
            return row.Problem(LogProblemCode.RecordMissing, $"The measurement of entry {row.Number} is missing from the records.", row.Measurement, null);
        var hash = LogHash.Compute(Encoding.UTF8.GetBytes(answer));
        (string What, string? Says, string? Found)[] all =
        [
            ("answer", At(body, "answerSha256"), hash), ("request", At(body, "request"), row.RequestJson),
            ("photo", At(content, "photoSha256"), row.PhotoSha256), ("picture", At(content, "pictureSha256"), row.PictureSha256),
        ];
        foreach (var (what, says, found) in all)
        {
            if (says != found)
                return row.Problem(LogProblemCode.RecordChanged, $"The recorded {what} of measurement {row.Measurement} (entry {row.Number}) was changed.", says, found);
        }

        return null;
    }

    private static LogProblem? Decision(RecordedEntry row, JsonElement body, DecisionIndexVerifier limits)
    {
        foreach (var (member, value) in row.DecisionColumns())
        {
            if (At(body, member) is var says && says != value)
                return row.Problem(LogProblemCode.SearchColumnChanged, $"The '{member}' by which the decision of entry {row.Number} is found was changed.", says, value);
        }

        return limits.Add(row.Number, body);
    }

    private static LogProblem? Finding(RecordedEntry row, JsonElement body)
    {
        var finding = body.Deserialize<HandFinding>(ContractJson.Options)!;
        (string What, string? Says, string? Found)[] all =
        [
            ("piece", row.Piece, row.FindingPiece), ("kind", EnumWords.Write(finding.Kind), row.FindingKind),
            ("corrects", finding.Corrects?.ToString(CultureInfo.InvariantCulture), row.FindingCorrects?.ToString(CultureInfo.InvariantCulture)),
        ];
        foreach (var (what, says, found) in row.Piece is null ? [] : all)
        {
            if (says != found)
                return row.Problem(LogProblemCode.SearchColumnChanged, $"The '{what}' by which the finding of entry {row.Number} is found was changed.", says, found);
        }

        return null;
    }

    private static LogProblem? Surplus(DbTransaction transaction, long head)
    {
        foreach (var (what, sql) in Unlogged)
        {
            if (transaction.Connection!.ExecuteScalar<string?>(sql, null, transaction) is { } id)
                return new LogProblem(LogProblemCode.RecordNotInLog, head, 0, $"The {what} {id} is in the records but not in the log.", "an entry", "nothing");
        }

        return null;
    }

    private static string? At(JsonElement element, params ReadOnlySpan<string> path)
    {
        foreach (var member in path)
        {
            if (!element.TryGetProperty(member, out element))
                return null;
        }

        return element.GetString();
    }
}
