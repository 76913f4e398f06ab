using GrainVision.Grading.Deliveries;
using GrainVision.Grading.Refusals;
using GrainVision.Records.Deliveries;
using GrainVision.Records.HandFindings;
using GrainVision.Records.Log;
using GrainVision.Records.Measurements;
using GrainVision.Service.Http;

namespace GrainVision.Service.Pieces;

/// <summary>Findings of a piece from request to record, and how the piece stands with them.</summary>
internal sealed class FindingService(FindingStore findings, DeliveryStore deliveries, PieceService pieces, MeasurementStore measurements, LogReader log, TimeProvider time)
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
        for (var i = 0; i < request.Findings.Count; i++)
        {
            if ((request.Findings[i] is { } finding ? finding.Problem() ?? MeasurementProblem(finding.Measurement) : "it is null") is { } problem)
                return Bad($"findings[{i}]: {problem}");
        }

        var recording = new Recording(sent.Client, EntryVersions.None) { Piece = piece, Delivery = known?.DeliveryId };
        return findings.Add(piece, request.Findings, recording, time.GetUtcNow(), sent.Over("findings", piece, json)).TryGet(out var entered, out var refusal)
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

    private string? MeasurementProblem(string? id) => id is null || measurements.Find(id) is not null ? null : $"there is no measurement {id}";

    /// <summary>A piece outside a delivery is one that the log speaks of: a slip of the pen must not make another.</summary>
    private bool IsOnRecord(string piece) => log.Page(new LogFilter { Piece = piece }, null, 1).Count > 0;

    private static Refusal Bad(string why) => RefusalCatalog.FindingUnreadable.Because($"The findings do not hold together: {why}.");
}
