using System.Text.Json;
using GrainVision.Grading.Deliveries;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Lumber;
using GrainVision.Grading.Pieces;
using GrainVision.Grading.Questions;
using GrainVision.Grading.Rules;
using GrainVision.Grading.Verdicts;
using GrainVision.Records.Decisions;
using GrainVision.Records.Deliveries;
using GrainVision.Records.HandFindings;
using GrainVision.Records.Measurements;
using GrainVision.Service.RuleBooks;

namespace GrainVision.Service.Pieces;

/// <summary>What a piece, and a whole delivery, come to: worked out afresh from photos, hand findings and decisions on record each time.</summary>
internal sealed class PieceService(
    RuleBookCatalog books, DeliveryStore deliveries, DeliveryPhotoStore photos, MeasurementStore measurements, FindingStore findings, DecisionStore decisions, CutPlanService cuts,
    TimeProvider time)
{
    private static readonly string[] Cautions =
    [
        VerdictCautions.NeverAirworthy,
        "Verdicts speak of the surfaces as photographed. Compression failures, compression wood, decay and the inside of a piece do not show in photographs.",
    ];

    /// <summary>Measured photos of a piece, by surface and station.</summary>
    public IReadOnlyList<PlacedMeasurement> Placed(string deliveryId, int pieceNumber)
    {
        var ofPiece = photos.OfPiece(deliveryId, pieceNumber);
        return Read(ofPiece, Answers(ofPiece));
    }

    /// <summary>True while a photo that is, or may prove to be, of the piece is not done with.</summary>
    public bool IsAtWork(string deliveryId, int pieceNumber) => photos.OfDelivery(deliveryId).Any(
        p => p.State is PhotoState.Received or PhotoState.Sorting || (p.Place?.PieceNumber == pieceNumber && p.State is PhotoState.Waiting or PhotoState.Measuring));

    /// <summary>One piece: what its photos say together, and the verdict for each use asked for.</summary>
    public PieceReport Report(Delivery delivery, Piece piece) =>
        Report(delivery, piece, Placed(delivery.Id, piece.Number), findings.OfPiece(piece.Id), decisions.History(piece.Id));

    /// <summary>How a piece of a delivery stands; nothing of another.</summary>
    public IReadOnlyList<PieceReport> OfPiece(string pieceId) =>
        deliveries.FindPiece(pieceId) is { } known && deliveries.Find(known.DeliveryId) is { } stored ? [Report(stored.Delivery, known.Piece)] : [];

    /// <summary>How the pieces of a delivery stand; nothing where there is no such delivery.</summary>
    public IReadOnlyList<PieceReport> OfDelivery(string deliveryId) => deliveries.Find(deliveryId) is { } stored ? [.. deliveries.Pieces(deliveryId).Select(p => Report(stored.Delivery, p))] : [];

    /// <summary>All evidence of a piece together.</summary>
    public PieceAssessment Assess(Delivery delivery, Piece piece) =>
        PieceAssessment.From(WithSpecies(delivery, piece), Placed(delivery.Id, piece.Number), FindingStore.InForce(findings.OfPiece(piece.Id)));

    /// <summary>The decision in force on a piece for a use; null where nobody decided.</summary>
    public DecisionOnRecord? Decided(string pieceId, string ruleBook) => decisions.History(pieceId).LastOrDefault(d => d.RuleBook == ruleBook && d.SupersededBy is null);

    /// <summary>The whole delivery as it stands.</summary>
    public DeliveryReport Report(StoredDelivery stored)
    {
        var all = photos.OfDelivery(stored.Id);
        var delivery = stored.Delivery;
        var answers = Answers(all);
        var byPiece = all.Where(p => p.Place is not null).ToLookup(p => p.Place!.PieceNumber);
        var (found, decided) = (findings.OfDelivery(stored.Id), decisions.HistoryOfDelivery(stored.Id));
        var pieces = deliveries.Pieces(stored.Id).Select(p => Report(delivery, p, Read(byPiece[p.Number], answers), [.. found[p.Id]], [.. decided[p.Id]])).ToList();
        var isComplete = all.All(p => p.State is PhotoState.Measured or PhotoState.Unsorted or PhotoState.SetAside);
        return new DeliveryReport
        {
            Delivery = delivery,
            MadeUtc = time.GetUtcNow(),
            Pieces = pieces,
            Tally = [.. delivery.RuleBooks.Select(id => Tally(id, pieces))],
            ArrivedBoardFeet = pieces.Sum(p => p.BoardFeet),
            Walk = QuestionFinder.Walk(UsedBy(delivery)),
            // While photos wait, most pieces have no clear length yet: a plan would call parts missing that are not.
            CutPlan = isComplete ? cuts.Plan(delivery, pieces) : null,
            Unsorted = [.. all.Where(p => p.State == PhotoState.Unsorted).Select(LeftOver)],
            SetAside = [.. all.Where(p => p.State == PhotoState.SetAside).Select(LeftOver)],
            IsComplete = isComplete,
            Cautions = Cautions,
        };
    }

    private PieceReport Report(
        Delivery delivery, Piece piece, IReadOnlyList<PlacedMeasurement> placed, IReadOnlyList<StoredFinding> found, IReadOnlyList<DecisionOnRecord> decided)
    {
        var assessment = PieceAssessment.From(WithSpecies(delivery, piece), placed, FindingStore.InForce(found));
        var used = UsedBy(delivery);
        List<Verdict> verdicts = [.. used.Select(assessment.GiveVerdict)];
        var standing = verdicts.ConvertAll(v => UseStanding.From(v, decided));
        // What a person rejected is not cut up for that use.
        var rejected = standing.Where(s => s is { Outcome: VerdictOutcome.Reject, Decision: { DecidedBy: DecidedBy.Person, Verdict: VerdictOutcome.Reject } })
            .Select(s => s.RuleBook).ToHashSet(StringComparer.Ordinal);
        return new PieceReport(
            piece,
            BoardFeet.Compute(BoardFeet.ThicknessInOfQuarters(piece.NominalQuarters), piece.WidthIn, piece.LengthFt),
            assessment.SpecificGravity?.Value,
            assessment.Findings,
            verdicts,
            [.. UsesOf(delivery).Where(b => !rejected.Contains(b.Id)).SelectMany(assessment.ClearLengths)])
        {
            MoisturePercent = assessment.MoisturePercent,
            WeightLb = assessment.WeightLb,
            Questions = QuestionFinder.Find(assessment, [.. used.Zip(standing).Where(u => u.Second is { Outcome: VerdictOutcome.Hold, ByRule: VerdictOutcome.Hold }).Select(u => u.First)]),
            HandFindings = [.. found.Select(FindingService.Reported)],
            Decisions = decided,
        };
    }

    /// <summary>Uses that pieces are judged by.</summary>
    public IReadOnlyList<RuleBook> UsedBy(Delivery delivery) => [.. delivery.RuleBooks.Select(id => books.Books.Find(id).Found).OfType<RuleBook>()];

    /// <summary>Uses that pieces are judged by, then those that only the cut list asks for.</summary>
    private IEnumerable<RuleBook> UsesOf(Delivery delivery) =>
        delivery.RuleBooks.Concat(delivery.CutList.Select(c => c.RuleBook)).Distinct(StringComparer.Ordinal).Select(id => books.Books.Find(id).Found).OfType<RuleBook>();

    private IReadOnlyDictionary<string, string> Answers(IReadOnlyList<DeliveryPhoto> of) => measurements.Answers([.. of.Select(p => p.MeasurementId).OfType<string>()]);

    private static List<PlacedMeasurement> Read(IEnumerable<DeliveryPhoto> ofPiece, IReadOnlyDictionary<string, string> answers) =>
    [
        .. ofPiece.Where(p => p is { State: PhotoState.Measured, Place: not null, MeasurementId: not null })
            .OrderBy(p => p.Place!.Surface).ThenBy(p => p.Place!.StationMm ?? 0).ThenBy(p => p.Sha256, StringComparer.Ordinal)
            .Select(p => new PlacedMeasurement(p.Place!, JsonSerializer.Deserialize<Measurement>(answers[p.MeasurementId!], ContractJson.Options)!)),
    ];

    /// <summary>A piece that says nothing of its wood is of the delivery's.</summary>
    internal static Piece WithSpecies(Delivery delivery, Piece piece) => piece with { Species = piece.Species ?? delivery.Species };

    private UseTally Tally(string ruleBook, IReadOnlyList<PieceReport> pieces)
    {
        TallyCell Cell(VerdictOutcome outcome)
        {
            var of = pieces.Where(p => Of(p)?.Outcome == outcome).ToList();
            return new TallyCell(of.Count, of.Sum(p => p.BoardFeet));
        }

        var use = books.Books.Find(ruleBook).Found?.Use ?? ruleBook;
        return new UseTally(ruleBook, use, Cell(VerdictOutcome.Accept), Cell(VerdictOutcome.Hold), Cell(VerdictOutcome.Reject)) { Overrides = pieces.Count(p => Of(p) is { IsOverridden: true }) };

        UseStanding? Of(PieceReport piece) => piece.Standing.FirstOrDefault(s => s.RuleBook == ruleBook);
    }

    private static PhotoLeftOver LeftOver(DeliveryPhoto photo) =>
        new(photo.Sha256, photo.FileName, photo.Problem?.Why ?? "", photo.Problem?.Advice ?? "");
}
