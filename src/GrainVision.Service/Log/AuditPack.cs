using GrainVision.Grading.Deliveries;
using GrainVision.Grading.Rules;
using System.IO.Compression;
using System.Text;
using System.Text.Json;
using GrainVision.Measuring;
using GrainVision.Records.Log;
using GrainVision.Records.RuleBooks;
using GrainVision.Service.Storage;

namespace GrainVision.Service.Log;

/// <summary>What a pack is of.</summary>
/// <param name="Name">"piece" or "delivery" with its id: for the page's heading.</param>
/// <param name="Filter">The same as a filter of the log.</param>
/// <param name="Pieces">How its pieces stand; none of a piece outside a delivery.</param>
internal sealed record AuditSubject(string Name, LogFilter Filter, IReadOnlyList<PieceReport> Pieces);

/// <summary>
/// Everything that proves what was decided on a piece or a delivery, as one zip for an outsider: the log from the first entry about it to the head
/// (entries about others only with their place in the chain), photos, pictures, rule books, a page to read and how to verify.
/// </summary>
internal sealed class AuditPack(LogReader log, RuleBookStore books, ContentStores stores, TimeProvider time)
{
    /// <summary>500 entries a page of the log.</summary>
    private const int PageSize = 500;

    /// <summary>Writes the pack; false where the log says nothing of the subject.</summary>
    /// <param name="to">Seekable; left open.</param>
    /// <param name="subject">What it is of.</param>
    /// <param name="withOriginals">False: the caller has no right to photos as received; they are left out and the pack says so.</param>
    public bool Write(Stream to, AuditSubject subject, bool withOriginals)
    {
        var about = Entries(subject.Filter);
        if (about.Count == 0)
            return false;
        var used = RuleBooksOf(about);
        about = [.. about.Concat(Entries(new LogFilter { Kind = LogKind.RuleBookVersion }).Where(e => used.Contains(BookOf(e)))).DistinctBy(e => e.Number).OrderBy(e => e.Number)];
        var head = log.Head()!;
        using var zip = new ZipArchive(to, ZipArchiveMode.Create, leaveOpen: true);
        WriteLog(zip, about, head.Number);
        var (photos, pictures) = (Hashes(about, "photoSha256"), Hashes(about, "pictureSha256"));
        foreach (var sha in withOriginals ? photos : [])
            Add(zip, $"photos/{sha}.bin", stores.Photos.Read(sha));
        foreach (var sha in pictures)
            Add(zip, $"pictures/{sha}.jpg", stores.Pictures.Read(sha));
        // A book that is no longer the one on the log is left out: its entry is in the pack, whole.
        foreach (var book in (books.All().Found ?? []).Where(b => used.Contains($"{b.Id} {b.Version}")))
            Add(zip, $"rule-books/{book.Id}-{book.Version}.json", Encoding.UTF8.GetBytes(book.RuleBookJson));
        foreach (var book in RuleBookSet.Embedded.Latest.Where(b => used.Contains($"{b.Id} {b.Version}")))
            Add(zip, $"rule-books/{book.Id}-{book.Version}-embedded.json", Encoding.UTF8.GetBytes(Grading.Rules.RuleBookReader.Write(book)));
        Add(zip, "index.html", Encoding.UTF8.GetBytes(AuditPage.Write(subject, about, head, withOriginals, time.GetUtcNow())));
        Add(zip, "VERIFY.txt", Encoding.UTF8.GetBytes(HowTo(head, withOriginals)));
        return true;
    }

    private List<LogEntry> Entries(LogFilter filter)
    {
        var all = new List<LogEntry>();
        for (long? before = null; ;)
        {
            var page = log.Page(filter, before, PageSize);
            all.AddRange(page);
            if (page.Count < PageSize)
                break;
            before = page[^1].Number;
        }

        all.Reverse();
        return all;
    }

    private void WriteLog(ZipArchive zip, List<LogEntry> about, long head)
    {
        var full = about.Select(e => e.Number).ToHashSet();
        using var lines = new StreamWriter(zip.CreateEntry("log.jsonl").Open(), new UTF8Encoding(false));
        foreach (var entry in log.Range(about[0].Number, head))
            lines.Write((full.Contains(entry.Number) ? entry.ToLine() : entry.ToWithheldLine()) + "\n");
    }

    private static HashSet<string> RuleBooksOf(IEnumerable<LogEntry> entries)
    {
        var used = new HashSet<string>(StringComparer.Ordinal);
        foreach (var entry in entries)
        {
            using var content = JsonDocument.Parse(entry.Content);
            if (content.RootElement.TryGetProperty("versions", out var versions) && versions.TryGetProperty("ruleBook", out var book))
                used.Add(book.GetString()!);
            if (content.RootElement.GetProperty("body") is { ValueKind: JsonValueKind.Object } body && body.TryGetProperty("ruleBook", out var id)
                && body.TryGetProperty("ruleBookVersion", out var version))
                used.Add($"{id.GetString()} {version.GetRawText()}");
        }

        return used;
    }

    private static string BookOf(LogEntry entry) => RuleBooksOf([entry]).FirstOrDefault() ?? "";

    private static List<string> Hashes(IEnumerable<LogEntry> entries, string member)
    {
        var hashes = new List<string>();
        foreach (var entry in entries)
        {
            using var content = JsonDocument.Parse(entry.Content);
            if (content.RootElement.TryGetProperty(member, out var sha))
                hashes.Add(sha.GetString()!);
        }

        return [.. hashes.Distinct(StringComparer.Ordinal)];
    }

    private static void Add(ZipArchive zip, string name, byte[]? content)
    {
        if (content is null)
            return; // the verifier names what is missing
        using var entry = zip.CreateEntry(name, CompressionLevel.Fastest).Open();
        entry.Write(content);
    }

    private static string HowTo(LogEntry head, bool withOriginals) =>
        $$"""
        How to verify this pack
        =======================
        1. Unpack it into an empty folder and open a command line there.
        2. Get the program 'grainvision' (version {{PipelineVersion.Current}} made this pack; a later one reads it too): it is the command line that belongs to the service.
           Do not take it from whoever gave you the pack: build it from the program's sources with the .NET SDK (dotnet publish src/GrainVision.Cli),
           or use your own shop's. It needs no service, no network and no native library.
        3. Run:
           grainvision verify-log log.jsonl --extract {{(withOriginals ? "--photos" : "--pictures")}} .
           It answers WHOLE. It works out every entry's hash anew, that each names the one before, and the hash of every {{(withOriginals ? "photo and picture" : "picture")}}.
           Lines with "content" are about this subject; the others are withheld and show only that they stand in the chain.
        4. The pack ends at entry {{head.Number}}, hash
           {{head.Sha256}}
           Whoever could write the shop's records could have rewritten the whole chain. Ask the shop for a checkpoint that was kept elsewhere and its
           public key, put both beside log.jsonl, and add to the command:   --checkpoint CHECKPOINT.json --public-key shop.public.pem
        5. Without the program: each file in pictures/{{(withOriginals ? " and photos/" : "")}} is named by its own SHA-256, which sha256sum works out too; "contentSha256" of a line is the SHA-256
           of its "content" as it stands there, and "sha256" that of the text, without white space,
           {"contentSha256":"...","number":N,"previousSha256":"..."}
        6. Photos as received are {{(withOriginals ? "in photos/; they may hold the place where they were taken." : "not in this pack: the caller who fetched it has no right to them. Their hashes are in the log; ask for a pack with photos to check these.")}}
        7. rule-books/ holds the limits in force; index.html shows in words what was measured and decided.
        No verdict in here is a finding of airworthiness: approved data and the licensed inspector decide.

        """;
}
