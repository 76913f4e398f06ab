using System.Text.Json;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Refusals;
using GrainVision.Grading.Rules;
using GrainVision.Grading.Verdicts;
using GrainVision.Records.Deliveries;
using GrainVision.Records.Log;
using GrainVision.Records.Measurements;
using GrainVision.Service.Measurements;
using GrainVision.Service.Pieces;
using GrainVision.Service.RuleBooks;

namespace GrainVision.Service.Decisions;

/// <summary>Runs another rule book or the present pipeline over the past and lists which verdicts would change. Writes nothing.</summary>
internal sealed class WhatIfService(RuleBookCatalog books, MeasurementStore measurements, DeliveryStore deliveries, PieceService pieces, LogReader log, Remeasuring remeasuring)
{
    /// <summary>1,000: some seconds of judging.</summary>
    private const int MostJudged = 1_000;

    /// <summary>20: some twenty seconds of measuring.</summary>
    private const int MostMeasured = 20;

    /// <summary>5: the gravest; the record holds the others.</summary>
    private const int MostReasons = 5;

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
            looked, looked - changed.Count, book is null ? null : $"{book.Id} {book.Version}", changed, page.Count == (request.Limit ?? most) ? page[^1].Number : null)
        {
            Pieces = book is null || request.Remeasure || request.After is not null ? [] : [.. Pieces(request, book)],
        };
    }

    /// <summary>Of deliveries that are judged for the book's use.</summary>
    private IEnumerable<WhatIfPiece> Pieces(WhatIfRequest request, RuleBook book)
    {
        var piece = request.Piece is { } id ? deliveries.FindPiece(id) : null;
        if (deliveries.Find(piece?.DeliveryId ?? request.Delivery ?? "")?.Delivery is not { } delivery || !delivery.RuleBooks.Contains(book.Id))
            yield break;
        foreach (var one in piece is null ? deliveries.Pieces(delivery.Id) : [piece.Piece])
        {
            var (assessment, decided) = (pieces.Assess(delivery, one), pieces.Decided(one.Id, book.Id));
            var tried = assessment.GiveVerdict(book);
            if (books.Books.Find(book.Id).Found is not { } present || assessment.GiveVerdict(present) is not { } now || now.Outcome == tried.Outcome)
                continue;
            yield return new WhatIfPiece(
                one.Id, now.Use, $"{present.Id} {present.Version}", now.Outcome, tried.Outcome, decided?.Verdict,
                [.. tried.Reasons.Where(r => r.Outcome == tried.Outcome).Take(MostReasons).Select(r => r.Text)]);
        }
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
        now is null ? [] : [.. now.Reasons.Where(r => r.Outcome == now.Outcome).Take(MostReasons).Select(r => r.Text)]);

    private Outcome<RuleBook> Book(JsonElement wanted)
    {
        if (wanted.ValueKind == JsonValueKind.Object && wanted.TryGetProperty("limits", out _))
            return RuleBookReader.Read(wanted.GetRawText());
        if (wanted.ValueKind != JsonValueKind.Object || !wanted.TryGetProperty("id", out var id) || id.GetString() is not { } name)
            return RefusalCatalog.RuleBookUnreadable.Because("\"ruleBook\" is neither a rule book nor the id of one.", "Send a whole book, or {\"id\":\"spar\",\"version\":1}.");
        if (!wanted.TryGetProperty("version", out var version))
            return books.Books.Find(name);
        return version.TryGetInt32(out var number) && books.Books.TryGet(name, number, out var book)
            ? book
            : RefusalCatalog.RuleBookUnknown.Because($"There is no such version of rule book {name}.");
    }
}
