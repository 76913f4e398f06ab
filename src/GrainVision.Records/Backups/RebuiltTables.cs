using System.Text;
using System.Text.Json;
using Dapper;
using GrainVision.Grading.ByHand;
using GrainVision.Grading.Findings;
using GrainVision.Records.Decisions;
using GrainVision.Records.HandFindings;
using GrainVision.Records.Log;
using GrainVision.Records.Projection;
using GrainVision.Records.Schema;
using Microsoft.Data.Sqlite;

namespace GrainVision.Records.Backups;

/// <summary>Fills an empty database from the log of another.</summary>
internal static class RebuiltTables
{
    /// <summary>The columns by which entries are found are made anew too.</summary>
    private const string LogWithItsSearchColumns =
        """
        INSERT INTO main.log (number, previous_sha256, content_sha256, sha256, content, at_utc, kind, who, delivery, piece, measurement, decision, rule_book)
        SELECT number, previous_sha256, content_sha256, sha256, content, content ->> '$.at', content ->> '$.kind', content ->> '$.who', content ->> '$.subjects.delivery',
            content ->> '$.subjects.piece', content ->> '$.subjects.measurement', content ->> '$.subjects.decision', content ->> '$.subjects.ruleBook'
        FROM before.log ORDER BY number;
        """;

    /// <summary>Log first, then every row that it says; what no entry can say is copied: the job engine's messages, which only tell what to look at next.</summary>
    public static void Fill(RecordsDatabase database, string before, CancellationToken cancel)
    {
        using var connection = database.Connect();
        connection.Execute("ATTACH DATABASE @before AS before;", new { before });
        try
        {
            using var transaction = connection.BeginTransaction(deferred: false);
            connection.Execute(LogWithItsSearchColumns, null, transaction);
            using (var projection = new LogProjection(transaction))
            {
                foreach (var entry in connection.Query<LogEntry>($"SELECT {LogReader.Columns} FROM main.log l ORDER BY l.number;", null, transaction, buffered: false))
                {
                    cancel.ThrowIfCancellationRequested();
                    using var content = JsonDocument.Parse(entry.Content);
                    projection.Add(entry.Number, content.RootElement);
                    AddRowOf(transaction, entry.Number, content.RootElement);
                }

                foreach (var table in ProjectedTables.All)
                {
                    var columns = string.Join(", ", table.Columns.Select(c => c.Name));
                    connection.Execute($"INSERT INTO main.{table.Name} ({columns}) SELECT {columns} FROM {ScratchTables.Of(table)} ORDER BY rowid;", null, transaction);
                }

                projection.Drop();
            }

            CopyMessages(transaction);
            transaction.Commit();
        }
        finally
        {
            connection.Execute("DETACH DATABASE before;");
        }
    }

    private static void AddRowOf(SqliteTransaction transaction, long number, JsonElement content)
    {
        var (subjects, body) = (content.GetProperty("subjects"), content.GetProperty("body"));
        switch (content.GetProperty("kind").GetString())
        {
            case LogKind.Measurement:
                AddMeasurement(transaction, content, subjects.GetProperty("measurement").GetString()!, body);
                break;
            case LogKind.Decision or LogKind.Override:
                DecisionRows.Insert(transaction, number, body.Deserialize<Decision>(ContractJson.Options)!);
                break;
            case LogKind.HandMeasurement when subjects.TryGetProperty("piece", out var piece):
                FindingRows.Insert(transaction, number, piece.GetString()!, body.Deserialize<HandFinding>(ContractJson.Options)!);
                break;
        }
    }

    /// <summary>The answer byte for byte where the bytes there have the hash on the log; otherwise as the log writes the same.</summary>
    private static void AddMeasurement(SqliteTransaction transaction, JsonElement content, string id, JsonElement body)
    {
        var connection = transaction.Connection!;
        var before = connection.QueryFirstOrDefault<Kept>("SELECT measurement_json AS Answer, created_utc AS CreatedUtc FROM before.measurements WHERE id = @id;", new { id }, transaction);
        var isSame = before is not null && LogHash.Compute(Encoding.UTF8.GetBytes(before.Answer)) == body.GetProperty("answerSha256").GetString();
        var at = LogProjection.TimeOf(content);
        // To 100 ns, where an entry of an older version says it to the millisecond only.
        var kept = before is not null && before.CreatedUtc.AsSpan(0, 23).SequenceEqual(at.AsSpan(0, 23)) ? before.CreatedUtc : at;
        connection.Execute(
            """
            INSERT INTO main.measurements (id, created_utc, photo_sha256, picture_sha256, picture_type, request_json, measurement_json)
            VALUES (@id, @created, @photo, @picture, @type, @request, @answer);
            """,
            new
            {
                id, created = body.TryGetProperty("createdUtc", out var created) ? created.GetString() : kept, photo = content.GetProperty("photoSha256").GetString(),
                picture = content.GetProperty("pictureSha256").GetString(), type = body.GetProperty("pictureType").GetString(), request = body.GetProperty("request").GetString(),
                answer = isSame ? before!.Answer : body.GetProperty("measurement").GetRawText(),
            },
            transaction);
    }

    /// <summary>Tables that are not of the schema.</summary>
    private static void CopyMessages(SqliteTransaction transaction)
    {
        var connection = transaction.Connection!;
        foreach (var (name, sql) in connection.Query<Made>(
            "SELECT name AS Name, sql AS Sql FROM before.sqlite_master b WHERE type = 'table' AND name NOT LIKE 'sqlite_%' AND NOT EXISTS (SELECT 1 FROM main.sqlite_master m WHERE m.name = b.name);",
            null, transaction).ToList())
        {
            connection.Execute(sql, null, transaction); // as the engine made it: CREATE TABLE makes in main
            connection.Execute($"INSERT INTO main.\"{name}\" SELECT * FROM before.\"{name}\";", null, transaction);
        }
    }

    private sealed record Kept(string Answer, string CreatedUtc);

    private sealed record Made(string Name, string Sql);
}
