using System.Data.Common;
using System.Text.Json.Nodes;
using Dapper;
using GrainVision.Records.Log;
using GrainVision.Records.Projection;

namespace GrainVision.Records.Opening;

/// <summary>
/// Enters the rows that older versions kept beside the log, once, as they stand. What an entry says already is not said again: a delivery with its pieces, a
/// rule book, where a photo was placed. Rows of those that were changed before now thus still differ from the log.
/// </summary>
internal static class Inventory
{
    /// <summary>500 rows an entry: some 200 KB of photos.</summary>
    private const int Batch = 500;

    public static void Enter(DbTransaction transaction)
    {
        foreach (var table in ProjectedTables.All)
        {
            foreach (var rows in Unsaid(transaction, table).Chunk(Batch))
            {
                LogWriter.Append(transaction, new LogEntryDraft
                {
                    Kind = LogKind.Inventory, Who = "unknown", At = TimeProvider.System.GetUtcNow(), Why = EntryReasons.Inventory,
                    Body = new JsonObject { [table.Name] = new JsonArray([.. rows]) },
                });
            }
        }
    }

    /// <summary>The rows with what no entry says of them.</summary>
    private static IEnumerable<JsonObject> Unsaid(DbTransaction transaction, ProjectedTable table)
    {
        var (said, members) = SaidBefore(transaction, table);
        var timed = table.Name == "rule_books" ? Keys(transaction, "SELECT rule_book || ' ' || (content ->> '$.body.version') FROM log WHERE kind = 'ruleBookVersion' AND content ->> '$.body.createdUtc' IS NOT NULL") : [];
        foreach (var row in table.Say(transaction))
        {
            var key = string.Join(' ', table.Keys.Select(k => row[k.Member]!.ToString()));
            if (said.Contains(key))
            {
                foreach (var member in members)
                    row.Remove(member);
                if (timed.Contains(key))
                    row.Remove("createdUtc");
            }

            if (row.Count > table.Keys.Count)
                yield return row;
        }
    }

    /// <summary>Keys of the rows that entries speak of, and what they say of them.</summary>
    private static (HashSet<string> Rows, IReadOnlyList<string> Members) SaidBefore(DbTransaction transaction, ProjectedTable table) => table.Name switch
    {
        "deliveries" => (Keys(transaction, "SELECT delivery FROM log WHERE kind = 'delivery'"), ["createdBy", "delivery", "scale"]),
        "pieces" => (Keys(transaction, "SELECT p.value ->> '$.id' FROM log l, json_each(l.content, '$.body.pieces') p WHERE l.kind = 'delivery'"), ["delivery", "number", "piece"]),
        "delivery_photos" => (Keys(transaction, "SELECT delivery || ' ' || (content ->> '$.photoSha256') FROM log WHERE kind = 'cardAssignment'"), ["place", "sortedBy"]),
        "rule_books" => (Keys(transaction, $"SELECT rule_book || ' ' || (content ->> '$.body.version') FROM log WHERE kind = 'ruleBookVersion' AND content ->> '$.why' IS NOT '{EntryReasons.WithTheProgram}'"), ["createdBy", "ruleBook"]),
        _ => ([], []),
    };

    private static HashSet<string> Keys(DbTransaction transaction, string sql) =>
        transaction.Connection!.Query<string?>(sql, null, transaction, buffered: false).OfType<string>().ToHashSet(StringComparer.Ordinal);
}
