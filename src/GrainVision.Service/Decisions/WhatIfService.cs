using System.Text.Json;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Refusals;
using GrainVision.Grading.Rules;
using GrainVision.Grading.Verdicts;
using GrainVision.Records.Log;
using GrainVision.Records.Measurements;
using GrainVision.Service.Measurements;
using GrainVision.Service.RuleBooks;

namespace GrainVision.Service.Decisions;

/// <summary>What to try on the past.</summary>
internal sealed record WhatIfRequest
{
    /// <summary>A whole rule book, or <c>{"id":…,"version":…}</c> of one on the shelf (version left out: the newest). Left out: that of each record, for trying the pipeline alone.</summary>
    public JsonElement? RuleBook { get; init; }

    /// <summary>True: measure every photo again with the present pipeline. Slow: a second a photo.</summary>
    public bool Remeasure { get; init; }

    public string? Delivery { get; init; }

    public string? Piece { get; init; }

    public string? Species { get; init; }

    public View? View { get; init; }

    /// <summary>Only measurements that were judged by this rule book.</summary>
    public string? JudgedBy { get; init; }

    public DateTimeOffset? From { get; init; }

    public DateTimeOffset? To { get; init; }

    /// <summary>Key of the last page.</summary>
    public long? After { get; init; }

    /// <summary>Records to look at: 1 to 1,000; with remeasure 1 to 20.</summary>
    public int? Limit { get; init; }
}

/// <summary>A verdict that would change.</summary>
internal sealed record WhatIfChange(
    string Measurement, long Entry, string? Piece, string? RecordedBy, VerdictOutcome? Recorded, VerdictOutcome? Now, string? Refused, IReadOnlyList<string> Because);

/// <summary>What would change. Nothing was changed.</summary>
/// <param name="Looked">Records looked at.</param>
/// <param name="Same">Records whose verdict would stay.</param>
/// <param name="RuleBook">What they were judged by, such as <c>spar 2</c>; null: each by its own.</param>
/// <param name="Changed">Verdicts that would change.</param>
/// <param name="After">Key of the next page; null: this was the last.</param>
internal sealed record WhatIfAnswer(int Looked, int Same, string? RuleBook, IReadOnlyList<WhatIfChange> Changed, long? After);

/// <summary>Runs another rule book or the present pipeline over the past and lists which verdicts would change. Writes nothing.</summary>
internal sealed class WhatIfService(RuleBookCatalog shelf, MeasurementStore measurements, LogReader log, Remeasuring remeasuring)
{
    /// <summary>1,000: some seconds of judging.</summary>
    private const int MostJudged = 1_000;

    /// <summary>20: some twenty seconds of measuring.</summary>
    private const int MostMeasured = 20;

    public async Task<Outcome<WhatIfAnswer>> Run(WhatIfRequest request, CancellationToken callerGone)
    {
        RuleBook? book = null;
        if (request.RuleBook is { } wanted && !Book(wanted).TryGet(out book, out var noBook))
            return noBook;
        var most = request.Remeasure ? MostMeasured : MostJudged;
        if (request.Limit is < 1 || request.Limit > most || (book is null && !request.Remeasure))
        {
            return RefusalCatalog.WhatIfUnreadable.Because("There is nothing to try: no rule book and no measuring again; or the limit is out of range.", $"Give \"ruleBook\" or \"remeasure\":true; limit 1 to {MostJudged}, with remeasure 1 to {MostMeasured}.");
        }

        var filter = new LogFilter
        {
            Kind = LogKind.Measurement, Delivery = request.Delivery, Piece = request.Piece, RuleBook = request.JudgedBy, From = request.From, To = request.To,
        };
        var page = log.Page(filter, request.After, request.Limit ?? most);
        var (looked, changed) = (0, new List<WhatIfChange>());
        foreach (var entry in page)
        {
            callerGone.ThrowIfCancellationRequested();
            using var content = JsonDocument.Parse(entry.Content);
            var recorded = content.RootElement.GetProperty("body").GetProperty("measurement").Deserialize<Measurement>(ContractJson.Options)!;
            if ((request.Species is not null && request.Species != recorded.Species) || (request.View is not null && request.View != recorded.View))
                continue;
            looked++;
            var tried = await Try(recorded, book, request.Remeasure, callerGone);
            if (tried.Refusal is { } refusal && (refusal.OurFault || refusal == MeasuringWorkers.Busy))
                return refusal;
            if (tried.Refusal is not null || tried.Verdict?.Outcome != recorded.Verdict?.Outcome)
                changed.Add(Change(entry, content.RootElement, recorded, tried.Verdict, tried.Refusal));
        }

        return new WhatIfAnswer(
            looked, looked - changed.Count, book is null ? null : $"{book.Id} {book.Version}", changed, page.Count == (request.Limit ?? most) ? page[^1].Number : null);
    }

    private async Task<(Verdict? Verdict, Refusal? Refusal)> Try(Measurement recorded, RuleBook? book, bool remeasure, CancellationToken callerGone)
    {
        if (!remeasure)
            return (PhotoJudge.GiveVerdict(recorded, book!), null);
        var outcome = await remeasuring.Run(measurements.Find(recorded.Id)!, recorded, book, callerGone);
        return outcome.TryGet(out var again, out var refusal) ? (again.Measurement.Verdict, null) : (null, refusal);
    }

    private static WhatIfChange Change(LogEntry entry, JsonElement content, Measurement recorded, Verdict? now, Refusal? refusal) => new(
        recorded.Id,
        entry.Number,
        content.GetProperty("subjects").TryGetProperty("piece", out var piece) ? piece.GetString() : null,
        recorded.Verdict is { } by ? $"{by.RuleBook} {by.RuleBookVersion}" : null,
        recorded.Verdict?.Outcome,
        now?.Outcome,
        refusal is null ? null : $"{refusal.Code}: {refusal.Message}",
        now is null ? [] : [.. now.Reasons.Where(r => r.Outcome == now.Outcome).Take(5).Select(r => r.Text)]);

    private Outcome<RuleBook> Book(JsonElement wanted)
    {
        if (wanted.ValueKind == JsonValueKind.Object && wanted.TryGetProperty("limits", out _))
            return RuleBookReader.Read(wanted.GetRawText());
        if (wanted.ValueKind != JsonValueKind.Object || !wanted.TryGetProperty("id", out var id) || id.GetString() is not { } name)
            return RefusalCatalog.RuleBookUnreadable.Because("\"ruleBook\" is neither a rule book nor the id of one.", "Send a whole book, or {\"id\":\"spar\",\"version\":1}.");
        if (!wanted.TryGetProperty("version", out var version))
            return shelf.Books.Find(name);
        return version.TryGetInt32(out var number) && shelf.Books.TryGet(name, number, out var book)
            ? book
            : RefusalCatalog.RuleBookUnknown.Because($"There is no such version of rule book {name}.");
    }
}
