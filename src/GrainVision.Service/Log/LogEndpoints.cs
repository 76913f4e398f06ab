using System.Globalization;
using System.Text;
using GrainVision.Grading.Refusals;
using GrainVision.Records.Log;
using GrainVision.Service.Http;

namespace GrainVision.Service.Log;

/// <summary>The log: read, searched, exported and verified. Nothing here writes.</summary>
internal static class LogEndpoints
{
    private static readonly Refusal NoSuch = RefusalCatalog.LogEntryUnknown.Because("The log has no entry of that number.");

    public static void MapLog(this WebApplication app)
    {
        var group = app.MapGroup("/v1/log").WithTags("Log");
        group.MapGet("", List).WithName("ListLog").WithSummary("Entries, newest first, by filter.").Produces<LogPage>().ProducesProblems(400, 401);
        group.MapGet("{number:long}", (long number, LogReader log) => log.Find(number) is { } entry ? Answer.Written(entry.ToLine()) : Problems.From(NoSuch))
            .WithName("GetLogEntry").WithSummary("One entry with its place in the chain.").ProducesProblems(401, 404);
        group.MapGet("verification", Verify).WithName("VerifyLog").WithSummary("Checks the whole chain and the records against it; with ?photos=true every photo and picture too.").Produces<LogVerification>().ProducesProblems(401);
        group.MapGet("export", Export).WithName("ExportLog").WithSummary("Every entry, a line each (JSON lines), oldest first.")
            .Produces<Stream>(200, "application/jsonl").ProducesProblems(400, 401);
    }

    private static IResult List(HttpContext http, LogReader log)
    {
        if (!Query.Read(http, ["kind", "who", "delivery", "piece", "measurement", "decision", "ruleBook", "from", "to"]).TryGet(out var query, out var refusal))
            return Problems.From(refusal);
        var entries = log.Page(
            new LogFilter
            {
                Kind = query["kind"], Who = query["who"], Delivery = query["delivery"], Piece = query["piece"], Measurement = query["measurement"],
                Decision = query["decision"], RuleBook = query["ruleBook"], From = query.From, To = query.To,
            },
            query.After, query.Limit);
        return Answer.Page("entries", entries.Select(e => e.ToLine()), entries.Count == query.Limit ? entries[^1].Number : null);
    }

    private static async Task<IResult> Verify(HttpContext http, LogService verifier)
    {
        var withPhotos = http.Request.Query["photos"] == "true";
        return Answer.Json(await verifier.Verify(withPhotos, http.RequestAborted));
    }

    private static async Task Export(HttpContext http, LogReader log)
    {
        var head = log.Head()?.Number ?? 0;
        var from = long.TryParse(http.Request.Query["from"], NumberStyles.None, CultureInfo.InvariantCulture, out var first) ? first : 1;
        http.Response.ContentType = "application/jsonl; charset=utf-8";
        await using var writer = new StreamWriter(http.Response.Body, new UTF8Encoding(false), bufferSize: 65_536, leaveOpen: true);
        foreach (var entry in log.Range(from, head))
        {
            await writer.WriteAsync(entry.ToLine().AsMemory(), http.RequestAborted);
            await writer.WriteAsync("\n".AsMemory(), http.RequestAborted);
        }
    }

    /// <summary>A page of the log, for the OpenAPI document.</summary>
    internal sealed record LogPage(IReadOnlyList<LogEntry> Entries, long? After);
}
