using System.Text.Json;
using GrainVision.Grading.Deliveries;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Pieces;
using GrainVision.Grading.Refusals;
using GrainVision.Grading.Rules;
using GrainVision.Grading.Verdicts;
using GrainVision.Records.Decisions;
using GrainVision.Records.Deliveries;
using GrainVision.Records.HandFindings;
using GrainVision.Records.Log;
using GrainVision.Records.Measurements;
using GrainVision.Service.Http;
using GrainVision.Service.Measurements;
using GrainVision.Service.Pieces;
using GrainVision.Service.RuleBooks;

namespace GrainVision.Service.Decisions;

/// <summary>One decision from request to record: evidence, the rule's verdict, the person's, the log.</summary>
internal sealed class DecisionService(RuleBookCatalog books, MeasurementStore measurements, DecisionStore decisions, LogReader log, DeliveryStore deliveries, PieceService pieces, TimeProvider time)
{
    /// <summary>200: ends, faces and repeats of a piece; beyond it something else was meant.</summary>
    private const int MostEvidence = 200;

    /// <summary>100 characters: a piece's number is a dozen, a person's name with title some 40.</summary>
    private const int LongestName = 100;

    /// <summary>4,000 characters: a page of reasons.</summary>
    private const int LongestReason = 4_000;

    /// <summary>A photo not yet measured may show what rejects the piece.</summary>
    private static readonly Refusal PieceAtWork = RefusalCatalog.PieceAtWork.Because("Photos that are of this piece, or may be, are still being worked on.");

    public static Refusal Unknown(string id) => RefusalCatalog.DecisionUnknown.Because($"There is no decision {id}.");

    public Outcome<StoredDecision> Decide(string piece, DecisionRequest request, string json, SentKey sent)
    {
        var (key, who) = (sent.Over(piece, json), sent.Client);
        if (Check(piece, request) is { } wrong)
            return wrong;
        if (!books.Books.Find(request.RuleBook).TryGet(out var book, out var noBook))
            return noBook;
        var recording = new Recording(who, PresentVersions.Current) { Piece = piece, Delivery = request.Delivery };
        if (deliveries.FindPiece(piece) is { } known)
        {
            if (request.Measurements.Count > 0 || (request.Delivery ?? known.DeliveryId) != known.DeliveryId)
                return Bad($"piece {piece} belongs to delivery {known.DeliveryId}, and rests on the photos placed there");
            return Decide(known, request, book, recording with { Delivery = known.DeliveryId }, key, who);
        }

        return decisions.Add(piece, request.HandMeasurements, recording, time.GetUtcNow(), key, hands =>
            Evidence(piece, request.Measurements).TryGet(out var evidence, out var noEvidence)
                ? Judge(piece, request, book, evidence, hands, PieceAssessment.OfLoose(evidence, FindingStore.InForce(hands)), who)
                : noEvidence);
    }

    /// <summary>A piece of a delivery rests on the photos that are placed on it now: one that was sorted wrongly and put right counts no more.</summary>
    private Outcome<StoredDecision> Decide(StoredPiece known, DecisionRequest request, RuleBook book, Recording recording, IdempotencyKey? key, string who)
    {
        var delivery = deliveries.Find(known.DeliveryId)!.Delivery;
        var piece = PieceService.WithSpecies(delivery, known.Piece);
        if (request.Species is { } species && species != piece.Species)
            return Bad($"the delivery says that piece {piece.Id} is {piece.Species ?? "of no stated species"}, not {species}");
        // All of it is read inside the transaction that writes the decision: no photo can be placed, moved or measured between looking and deciding.
        return decisions.Add(piece.Id, request.HandMeasurements, recording, time.GetUtcNow(), key, hands =>
        {
            if (pieces.IsAtWork(known.DeliveryId, piece.Number))
                return PieceAtWork;
            var placed = pieces.Placed(known.DeliveryId, piece.Number);
            return Judge(
                piece.Id, request with { Delivery = known.DeliveryId, Species = piece.Species }, book, [.. placed.Select(p => p.Measurement)], hands,
                PieceAssessment.From(piece, placed, FindingStore.InForce(hands)), who);
        });
    }

    private Outcome<Decision> Judge(
        string piece, DecisionRequest request, RuleBook book, IReadOnlyList<Measurement> evidence, IReadOnlyList<StoredFinding> hands, PieceAssessment assessment, string who)
    {
        var verdict = assessment.GiveVerdict(book);
        if (Against(request, verdict) is { } refused)
            return refused;
        return new Decision
        {
            Id = Guid.CreateVersion7(time.GetUtcNow()).ToString("N"),
            Piece = piece,
            Delivery = request.Delivery,
            Species = request.Species ?? evidence.Select(e => e.Species).FirstOrDefault(s => s is not null),
            RuleBook = book.Id,
            RuleBookVersion = book.Version,
            Use = book.Use,
            Verdict = request.Verdict ?? verdict.Outcome,
            ByRule = verdict.Outcome,
            DecidedBy = request.Verdict is null ? DecidedBy.Rule : DecidedBy.Person,
            Person = request.By ?? who,
            Override = request.Override,
            Reason = request.Reason,
            Supersedes = request.Supersedes,
            Evidence = [.. evidence.Select(e => new DecisionEvidence(e.Id, e.Photo.Sha256))],
            HandMeasurements = [.. hands.Select(h => h.Entry)],
            Reasons = [.. verdict.Reasons.Select(r => new EvidenceReason(assessment.MeasurementOf(r), r))],
            HandChecks = verdict.HandChecks,
            Cautions = verdict.Cautions,
        };
    }

    /// <summary>A person may be stricter with a reason; more lenient only as an override; and no override where the rule says the same.</summary>
    private static Refusal? Against(DecisionRequest request, Verdict rule)
    {
        var word = rule.Outcome.ToString().ToLowerInvariant();
        var lenient = request.Verdict < rule.Outcome;
        if (lenient && !request.Override)
        {
            var open = string.Join("; ", rule.Reasons.Where(r => r.Outcome == rule.Outcome).Select(r => r.LimitId).Distinct());
            return RefusalCatalog.OverrideNeeded.Because($"By the rule this is {word} ({open}).", rule.Outcome == VerdictOutcome.Hold
                    ? "Enter hand measurements that settle it, or send \"override\":true with a reason, which stays on the record."
                    : "Only an override accepts or holds what the rule rejects: send \"override\":true with a reason, which stays on the record.");
        }

        if (request.Override && !lenient)
            return RefusalCatalog.OverrideNotNeeded.Because($"By the rule this is {word}: nothing is overridden.");
        return request.Verdict is { } verdict && verdict != rule.Outcome && string.IsNullOrWhiteSpace(request.Reason)
            ? RefusalCatalog.ReasonMissing.Because($"By the rule this is {word}; another verdict needs a reason.")
            : null;
    }

    private static Refusal? Check(string piece, DecisionRequest request)
    {
        var names = new[] { piece, request.By ?? "x", request.Delivery ?? "x", request.Species ?? "x" };
        if (names.Any(n => string.IsNullOrWhiteSpace(n) || n.Length > LongestName || n.Any(char.IsControl)) || request.Reason?.Length > LongestReason)
            return Bad($"piece, by, delivery and species are words of 1 to {LongestName} characters, the reason of at most {LongestReason}");
        if (request.Override && request.Verdict is null)
            return Bad("an override gives the person's verdict");
        for (var i = 0; i < request.HandMeasurements.Count; i++)
        {
            if (request.HandMeasurements[i] is not { } hand)
                return Bad($"handMeasurements[{i}] is null");
            if (hand.Problem() is { } problem)
                return Bad($"handMeasurements[{i}]: {problem}");
        }

        return request.Measurements.Count + request.HandMeasurements.Count > MostEvidence ? Bad($"at most {MostEvidence} measurements at a time") : null;
    }

    private Outcome<IReadOnlyList<Measurement>> Evidence(string piece, IReadOnlyList<string> named)
    {
        var ofPiece = log.Page(new LogFilter { Kind = LogKind.Measurement, Piece = piece }, null, MostEvidence).Select(MeasurementOf).Reverse();
        var evidence = new List<Measurement>();
        foreach (var id in ofPiece.Concat(named).Distinct(StringComparer.Ordinal))
        {
            if (measurements.Find(id) is not { } stored)
                return RefusalCatalog.MeasurementUnknown.Because($"There is no measurement {id}.", "Check the ids in 'measurements'.");
            if (OtherPiece(piece, id) is { } other)
                return RefusalCatalog.MeasurementOfOtherPiece.Because($"Measurement {id} was recorded of piece {other}.");
            evidence.Add(JsonSerializer.Deserialize<Measurement>(stored.MeasurementJson, ContractJson.Options)! with { Id = id });
        }

        return evidence;
    }

    private string? OtherPiece(string piece, string measurement) =>
        log.Page(new LogFilter { Kind = LogKind.Measurement, Measurement = measurement }, null, 1).Select(PieceOf).FirstOrDefault(p => p is not null && p != piece);

    private static string MeasurementOf(LogEntry entry) => Subject(entry, "measurement")!;

    private static string? PieceOf(LogEntry entry) => Subject(entry, "piece");

    private static string? Subject(LogEntry entry, string name)
    {
        using var content = JsonDocument.Parse(entry.Content);
        return content.RootElement.GetProperty("subjects").TryGetProperty(name, out var value) ? value.GetString() : null;
    }

    private static Refusal Bad(string why) => RefusalCatalog.DecisionUnreadable.Because($"The decision does not hold together: {why}.");
}
