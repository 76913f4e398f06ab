using System.Data.Common;
using System.Text;
using System.Text.Json;
using Dapper;
using GrainVision.Grading.Refusals;
using GrainVision.Records.Log;

namespace GrainVision.Records.RuleBooks;

/// <summary>
/// Holds the shop's rule books against the log before a limit of theirs is used: each by its hash, none too many, none missing (or an older version would be in
/// force unseen). Their entries must have the hashes they state and stand in the chain; that the chain was not rewritten from there on, verifying and checkpoints tell.
/// </summary>
internal static class RuleBookLog
{
    /// <summary>Why these books must not be used, or null.</summary>
    public static Refusal? Problem(DbTransaction transaction, IReadOnlyList<StoredRuleBook> books)
    {
        var logged = new HashSet<(string Id, int Version)>();
        var byVersion = books.ToDictionary(b => (b.Id, b.Version));
        foreach (var row in transaction.Connection!.Query<Row>(
            $"SELECT {LogReader.Columns}, n.previous_sha256 AS NextNames FROM log l LEFT JOIN log n ON n.number = l.number + 1 WHERE l.kind = @kind ORDER BY l.number;",
            new { kind = LogKind.RuleBookVersion }, transaction))
        {
            if (LogHash.Compute(Encoding.UTF8.GetBytes(row.Content)) != row.ContentSha256 || LogHash.OfEntry(row.Number, row.PreviousSha256, row.ContentSha256) != row.Sha256
                || (row.NextNames ?? row.Sha256) != row.Sha256)
                return RefusalCatalog.RuleBookNotOnLog.Because($"Entry {row.Number} of the log, which put a rule book in force, was changed.");
            using var content = JsonDocument.Parse(row.Content);
            var entry = content.RootElement;
            if (entry.TryGetProperty("why", out var why) && why.GetString() == EntryReasons.WithTheProgram)
                continue;
            var (id, version) = (entry.GetProperty("subjects").GetProperty("ruleBook").GetString()!, entry.GetProperty("body").GetProperty("version").GetInt32());
            if (!byVersion.TryGetValue((id, version), out var book))
                return RefusalCatalog.RuleBookNotOnLog.Because($"Version {version} of rule book {id} is on the log (entry {row.Number}), but no longer in the records.");
            if (HashOf(book) is var hash && hash != entry.GetProperty("body").GetProperty("sha256").GetString())
                return RefusalCatalog.RuleBookNotOnLog.Because($"Version {version} of rule book {id} in the records is not the one on the log (entry {row.Number}).");
            logged.Add((id, version));
        }

        return books.FirstOrDefault(b => !logged.Contains((b.Id, b.Version))) is { } unlogged
            ? RefusalCatalog.RuleBookNotOnLog.Because($"Version {unlogged.Version} of rule book {unlogged.Id} is in the records, but not on the log.")
            : null;
    }

    private static string? HashOf(StoredRuleBook book)
    {
        try
        {
            return book.Sha256;
        }
        catch (FormatException)
        {
            return null; // no JSON any more
        }
    }

    private sealed record Row(long Number, string PreviousSha256, string ContentSha256, string Sha256, string Content, string? NextNames);
}
