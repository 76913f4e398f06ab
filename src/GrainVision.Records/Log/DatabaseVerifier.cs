using System.Text;
using System.Text.Json;
using GrainVision.Records.Schema;
using Microsoft.Data.Sqlite;

namespace GrainVision.Records.Log;

/// <summary>
/// Verifies the log inside its database: the chain, and that what is searched and answered (columns, measurements, decisions) is what the log says.
/// </summary>
public static class DatabaseVerifier
{
    private const string Rows = """
        SELECT l.number, l.previous_sha256, l.content_sha256, l.sha256, l.content, l.at_utc, l.kind, l.who, l.delivery, l.piece, l.measurement, l.decision, l.rule_book,
            m.measurement_json, m.request_json, m.photo_sha256, m.picture_sha256, d.id, d.piece, d.rule_book, d.verdict, d.person, d.supersedes, d.delivery, d.species
        FROM log l
        LEFT JOIN measurements m ON l.kind = 'measurement' AND m.id = l.measurement
        LEFT JOIN decisions d ON l.kind IN ('decision', 'override') AND d.number = l.number
        ORDER BY l.number;
        """;

    /// <summary>Columns 5 to 12 and where the content says the same.</summary>
    private static readonly string[][] Searched =
        [["at"], ["kind"], ["who"], ["subjects", "delivery"], ["subjects", "piece"], ["subjects", "measurement"], ["subjects", "decision"], ["subjects", "ruleBook"]];

    /// <summary>Verifies all of it, in one state of the database.</summary>
    public static LogVerification Verify(
        RecordsDatabase database, IEnumerable<Checkpoint>? checkpoints, Func<string, string?>? photoProblem, CancellationToken cancel)
    {
        ArgumentNullException.ThrowIfNull(database);
        var verifier = new LogVerifier(checkpoints, photoProblem);
        using var connection = database.Connect();
        using var transaction = connection.BeginTransaction(deferred: true); // one state: entries added meanwhile are not seen
        using var find = connection.CreateCommand();
        find.Transaction = transaction;
        find.CommandText = Rows;
        LogProblem? differs = null;
        using var limits = new DecisionIndexVerifier(transaction);
        using (var row = find.ExecuteReader())
        {
            while (differs is null && row.Read())
            {
                cancel.ThrowIfCancellationRequested();
                var entry = LogReader.Read(row);
                if (!verifier.Add(entry.ToLine()))
                    break;
                differs = Differs(entry, row, limits);
            }
        }

        var found = verifier.Finish();
        differs ??= found.IsWhole ? limits.Surplus(found.Head) ?? Unlogged(transaction, found.Head) : null;
        return differs is null ? found : found with { Problem = differs };
    }

    private static LogProblem? Differs(LogEntry entry, SqliteDataReader row, DecisionIndexVerifier limits)
    {
        using var document = JsonDocument.Parse(entry.Content);
        var content = document.RootElement;
        for (var i = 0; i < Searched.Length; i++)
        {
            var (says, column) = (At(content, Searched[i]), Text(row, 5 + i));
            if (says != column)
                return Bad(entry, $"The search column '{row.GetName(5 + i)}' of entry {entry.Number} was changed.", says, column);
        }

        var body = content.GetProperty("body");
        return Text(row, 6) switch
        {
            LogKind.Measurement => Measurement(entry, content, body, row),
            LogKind.Decision or LogKind.Override => Decision(entry, body, row) ?? limits.Differs(entry, body),
            _ => null,
        };
    }

    private static LogProblem? Measurement(LogEntry entry, JsonElement content, JsonElement body, SqliteDataReader row)
    {
        if (Text(row, 13) is not { } answer)
            return Bad(entry, $"The measurement of entry {entry.Number} is missing from the records.", Text(row, 10), "nothing");
        var hash = LogHash.Compute(Encoding.UTF8.GetBytes(answer));
        (string What, string? Says, string? Found)[] all =
        [
            ("answer", At(body, "answerSha256"), hash), ("request", At(body, "request"), Text(row, 14)),
            ("photo", At(content, "photoSha256"), Text(row, 15)), ("picture", At(content, "pictureSha256"), Text(row, 16)),
        ];
        return all.Where(a => a.Says != a.Found).Select(a => Bad(entry, $"The recorded {a.What} of measurement {Text(row, 10)} (entry {entry.Number}) was changed.", a.Says, a.Found)).FirstOrDefault();
    }

    private static LogProblem? Decision(LogEntry entry, JsonElement body, SqliteDataReader row)
    {
        string[] members = ["id", "piece", "ruleBook", "verdict", "person", "supersedes", "delivery", "species"];
        for (var i = 0; i < members.Length; i++)
        {
            var (says, found) = (At(body, members[i]), Text(row, 17 + i));
            if (says != found)
                return Bad(entry, $"The '{members[i]}' by which the decision of entry {entry.Number} is found was changed.", says, found);
        }

        return null;
    }

    /// <summary>A row that no entry stands for was put in beside the log.</summary>
    private static LogProblem? Unlogged(SqliteTransaction transaction, long head)
    {
        foreach (var (what, sql) in new[]
        {
            ("measurement", "SELECT m.id FROM measurements m WHERE NOT EXISTS (SELECT 1 FROM log l WHERE l.measurement = m.id AND l.kind = 'measurement') LIMIT 1;"),
            ("decision", "SELECT d.id FROM decisions d WHERE NOT EXISTS (SELECT 1 FROM log l WHERE l.number = d.number AND l.decision = d.id) LIMIT 1;"),
            ("delivery", "SELECT d.id FROM deliveries d WHERE NOT EXISTS (SELECT 1 FROM log l WHERE l.delivery = d.id AND l.kind = 'delivery') LIMIT 1;"),
            ("rule book", "SELECT b.id || ' ' || b.version FROM rule_books b WHERE NOT EXISTS (SELECT 1 FROM log l WHERE l.rule_book = b.id AND l.kind = 'ruleBookVersion' AND l.content ->> '$.body.version' = b.version) LIMIT 1;"),
        })
        {
            using var find = transaction.Connection!.CreateCommand();
            find.Transaction = transaction;
#pragma warning disable CA2100 // one of the constants above
            find.CommandText = sql;
#pragma warning restore CA2100
            if (find.ExecuteScalar() is string id)
                return new LogProblem(head, 0, $"The {what} {id} is in the records but not in the log.", "an entry", "nothing");
        }

        return null;
    }

    private static LogProblem Bad(LogEntry entry, string what, string? says, string? found) => new(entry.Number, entry.Number, what, says ?? "nothing", found ?? "nothing");

    private static string? Text(SqliteDataReader row, int column) => row.IsDBNull(column) ? null : row.GetString(column);

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
