using GrainVision.Grading.ByHand;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Grading.Rules;
using GrainVision.Grading.Verdicts;

namespace GrainVision.Grading.Pieces;

/// <summary>
/// All evidence of one piece together, as it stands now: photos, readings and answers. Whoever shows a piece asks here, so that report, decision, cut plan
/// and search say the same.
/// </summary>
public sealed class PieceAssessment
{
    private readonly JoinedPiece _byPhoto;
    private readonly JoinedPiece _byHand;
    private readonly ILookup<string, string> _measurements;
    private readonly Dictionary<RuleBook, Verdict> _verdicts = new(ReferenceEqualityComparer.Instance);

    private PieceAssessment(JoinedPiece byPhoto, JoinedPiece byHand)
    {
        (_byPhoto, _byHand) = (byPhoto, byHand);
        _measurements = byPhoto.AllPhotos.Select(p => p.Measurement).Concat(byPhoto.Loose).ToLookup(m => m.Photo.Sha256, m => m.Id, StringComparer.Ordinal);
        Findings = PieceJoiner.Findings(byHand) with { Photos = byPhoto.AllPhotos };
    }

    /// <summary>Photos and hand findings together.</summary>
    internal JoinedPiece ByHand => _byHand;

    /// <summary>What photos and hand say together; <see cref="PieceFindings.Photos"/> as they were measured.</summary>
    public PieceFindings Findings { get; }

    /// <summary>% of the oven-dry weight, with its interval; null where nobody read it.</summary>
    public Measured? MoisturePercent => _byHand.Readings.MoisturePercent;

    /// <summary>Pounds, with their interval; null where nobody weighed it.</summary>
    public Measured? WeightLb => _byHand.Readings.WeightLb;

    /// <summary>Oven-dry weight and volume; null where something for it is missing.</summary>
    public Measured? SpecificGravity => PieceWeight.SpecificGravity(_byHand);

    /// <summary>Kebab-case common name; null where nobody says, or the photos differ.</summary>
    public string? Species => _byHand.Species;

    /// <summary>Evidence of a piece whose photos are placed on its surfaces.</summary>
    /// <param name="piece">The piece, its species filled in.</param>
    /// <param name="photos">Of this piece only.</param>
    /// <param name="hands">Hand findings that count, oldest first: the latest of a thing counts.</param>
    public static PieceAssessment From(Piece piece, IReadOnlyList<PlacedMeasurement> photos, IReadOnlyList<HandFinding> hands)
    {
        ArgumentNullException.ThrowIfNull(piece);
        ArgumentNullException.ThrowIfNull(photos);
        ArgumentNullException.ThrowIfNull(hands);
        var byPhoto = JoinedPiece.From(piece, photos, hands);
        if (hands.Count == 0)
            return new PieceAssessment(byPhoto, byPhoto);
        var spread = MarkAnswers.OfEverySighting(byPhoto, hands);
        var applied = photos.Select(p => p with { Measurement = HandEvidence.Apply(p.Measurement, p.Place.Surface, spread) }).ToList();
        return new PieceAssessment(byPhoto, JoinedPiece.From(piece, applied, hands));
    }

    /// <summary>Evidence of a piece outside a delivery: nobody says which surface a photo shows, nor how large the piece is.</summary>
    /// <param name="photos">Of this piece only.</param>
    /// <param name="hands">As for a piece of a delivery.</param>
    public static PieceAssessment OfLoose(IReadOnlyList<Measurement> photos, IReadOnlyList<HandFinding> hands)
    {
        ArgumentNullException.ThrowIfNull(photos);
        ArgumentNullException.ThrowIfNull(hands);
        // No size of it is known: what needs one stays open until a person measures it.
        var piece = new Piece { Number = 0, NominalQuarters = 1, WidthIn = 0, LengthFt = 0 };
        var byPhoto = JoinedPiece.OfLoose(piece, photos, hands);
        return hands.Count == 0
            ? new PieceAssessment(byPhoto, byPhoto)
            : new PieceAssessment(byPhoto, JoinedPiece.OfLoose(piece, [.. photos.Select(m => HandEvidence.Apply(m, null, hands))], hands));
    }

    /// <summary>The verdict by the rule for one use. Hand findings settle what is open; what the photos reject stays rejected.</summary>
    public Verdict GiveVerdict(RuleBook book)
    {
        ArgumentNullException.ThrowIfNull(book);
        if (!_verdicts.TryGetValue(book, out var verdict))
            _verdicts[book] = verdict = Judge(book);
        return verdict;
    }

    private Verdict Judge(RuleBook book)
    {
        var verdict = PieceJudge.GiveVerdict(_byHand, book);
        if (_byHand.Hands.Count == 0)
            return verdict;
        List<Reason> reasons =
        [
            .. verdict.Reasons.Select(r => HandSettling.Settle(r, MeasurementOf(r), _byHand.Species, _byHand.Hands, book)),
            .. ReferenceEquals(_byPhoto, _byHand) ? [] : HandSettling.StillRejected(PieceJudge.GiveVerdict(_byPhoto, book), verdict),
        ];
        var settled = reasons.Where(r => r.Outcome == VerdictOutcome.Accept).Select(r => r.HandCheck).OfType<string>()
            .Except(reasons.Where(r => r.Outcome != VerdictOutcome.Accept).Select(r => r.HandCheck).OfType<string>());
        return verdict with
        {
            Outcome = GuardedAcceptance.Gravest(reasons.Select(r => r.Outcome)),
            Reasons = [.. reasons.Select(r => r.Outcome == VerdictOutcome.Accept ? r with { HandCheck = null } : r).OrderByDescending(r => r.Outcome)],
            HandChecks = [.. verdict.HandChecks.Except(settled)],
        };
    }

    /// <summary>Id of the measurement that a reason is of; null where it is of several photos, or of the piece.</summary>
    public string? MeasurementOf(Reason reason)
    {
        ArgumentNullException.ThrowIfNull(reason);
        return reason.Photo is { } photo ? _measurements[photo].FirstOrDefault() : null;
    }

    /// <summary>Stretches that can be cut for a use. A mark that the photos are sure of is cut round, whatever was said of it.</summary>
    public IReadOnlyList<ClearLength> ClearLengths(RuleBook book)
    {
        ArgumentNullException.ThrowIfNull(book);
        return Pieces.ClearLengths.Find(_byHand, ReferenceEquals(_byPhoto, _byHand) ? [] : [.. _byPhoto.Marks.Where(m => m.Finding.Probability >= BlemishJudge.SureProbability)], GiveVerdict(book), book);
    }
}
