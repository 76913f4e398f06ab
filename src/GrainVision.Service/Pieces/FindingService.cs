using System.Text.Json;
using GrainVision.Grading.ByHand;
using GrainVision.Grading.Deliveries;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Pieces;
using GrainVision.Grading.Refusals;
using GrainVision.Grading.Verdicts;
using GrainVision.Records.Deliveries;
using GrainVision.Records.HandFindings;
using GrainVision.Records.Log;
using GrainVision.Records.Measurements;
using GrainVision.Service.Http;
using GrainVision.Service.RuleBooks;

namespace GrainVision.Service.Pieces;

/// <summary>Findings of a piece from request to record, and how the piece stands with them.</summary>
internal sealed class FindingService(
    FindingStore findings, DeliveryStore deliveries, PieceService pieces, MeasurementStore measurements, RuleBookCatalog books, LogReader log, TimeProvider time)
{
    /// <summary>200: as many as the evidence of a decision.</summary>
    private const int Most = 200;

    public static Refusal NoPiece { get; } = RefusalCatalog.PieceUnknown.Because("There is no piece of that id.", "Check the id; GET /v1/deliveries/{id} lists the pieces.");

    public Outcome<FindingsAnswer> Enter(string piece, FindingsRequest request, string json, SentKey sent)
    {
        if (request.Findings.Count is 0 or > Most)
            return Bad($"findings are 1 to {Most}");
        var known = deliveries.FindPiece(piece);
        if (known is null && !IsOnRecord(piece))
            return NoPiece;
        var photos = known is null ? null : pieces.Placed(known.DeliveryId, known.Piece.Number).Select(p => p.Measurement).ToDictionary(m => m.Id, StringComparer.Ordinal);
        var found = new List<HandFinding>();
        for (var i = 0; i < request.Findings.Count; i++)
        {
            if (request.Findings[i] is not { } finding)
                return Bad($"findings[{i}]: it is null");
            var problem = finding.CloseUp is null ? null : CloseUps.Problem(finding, Photo(finding.Measurement, photos), Photo(finding.CloseUp, null), out finding);
            if ((problem ?? finding.Problem() ?? Unheard(finding, photos)) is { } wrong)
                return Bad($"findings[{i}]: {wrong}");
            found.Add(finding);
        }

        var recording = new Recording(sent.Client, EntryVersions.None) { Piece = piece, Delivery = known?.DeliveryId };
        return findings.Add(piece, found, recording, time.GetUtcNow(), sent.Over("findings", piece, json)).TryGet(out var entered, out var refusal)
            ? new FindingsAnswer(piece, [.. entered.Select(Reported)], Standing(known))
            : refusal;
    }

    public Outcome<FindingsAnswer> List(string piece)
    {
        var known = deliveries.FindPiece(piece);
        if (known is null && !IsOnRecord(piece))
            return NoPiece;
        return new FindingsAnswer(piece, [.. findings.OfPiece(piece).Select(Reported)], Standing(known));
    }

    /// <summary>A finding as reports show it.</summary>
    public static ReportedFinding Reported(StoredFinding finding) => new(finding.Entry, finding.EnteredUtc, finding.Kind, finding.Finding, finding.CorrectedBy);

    private IReadOnlyList<UseStanding> Standing(StoredPiece? known) =>
        known is null || deliveries.Find(known.DeliveryId) is not { } delivery ? [] : pieces.Report(delivery.Delivery, known.Piece).Standing;

    private Measurement? Photo(string? id, Dictionary<string, Measurement>? photos) => id is null ? null
        : photos is not null ? photos.GetValueOrDefault(id)
        : measurements.Find(id) is { } stored ? JsonSerializer.Deserialize<Measurement>(stored.MeasurementJson, ContractJson.Options) : null;

    /// <summary>Why nobody would hear the finding: it names what the piece or the rule books do not have; else null.</summary>
    private string? Unheard(HandFinding finding, Dictionary<string, Measurement>? photos)
    {
        if (finding.Limit is { } limit && !OwnLimits.Ids.Contains(limit) && !books.Books.Latest.Any(b => b.Limits.Any(l => l.Id == limit)))
            return $"no rule book has the limit '{limit}'";
        if (finding.Measurement is not { } id)
            return null;
        if (photos is null)
            return measurements.Find(id) is null ? $"there is no measurement {id}" : null;
        return !photos.TryGetValue(id, out var measurement) ? $"no photo of this piece has the measurement {id}"
            : finding.Blemish is { } number && number > measurement.Blemishes.Count ? $"the picture of measurement {id} has no mark {number}"
            : null;
    }

    /// <summary>A piece outside a delivery is one that the log speaks of: a slip of the pen must not make another.</summary>
    private bool IsOnRecord(string piece) => log.Page(new LogFilter { Piece = piece }, null, 1).Count > 0;

    private static Refusal Bad(string why) => RefusalCatalog.FindingUnreadable.Because($"The findings do not hold together: {why}.");
}
