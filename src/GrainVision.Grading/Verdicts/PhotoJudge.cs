using GrainVision.Grading.Findings;
using GrainVision.Grading.Rules;

namespace GrainVision.Grading.Verdicts;

/// <summary>
/// Holds what one photo gave against a rule book. Accept: every limit that this surface shows is met, intervals and all. It
/// is a verdict on this surface only, never on the piece and never on airworthiness: what it comes to for the piece is at most a hold.
/// </summary>
public static class PhotoJudge
{
    /// <summary>The verdict on one photo for the use of one rule book.</summary>
    public static Verdict GiveVerdict(Measurement measurement, RuleBook book)
    {
        ArgumentNullException.ThrowIfNull(measurement);
        ArgumentNullException.ThrowIfNull(book);
        var judged = book.Limits.Select(l => LimitJudge.Evaluate(l, measurement)).ToList();
        List<Reason> reasons =
        [
            .. judged.SelectMany(j => j.Reasons),
            .. NotCovered(measurement, book),
            .. CannotSayReasons.HoldsByItself(measurement.CannotSay, " from this photo", "this measurement"),
        ];
        if (reasons.Count == 0)
            reasons.Add(NothingJudged(measurement, book));
        if (measurement.Scale.IsUnitAssumed)
            reasons = [.. reasons.Select(AssumedUnit.Soften), AssumedUnit.Hold()];
        if (UnprovenStreaks.In(measurement) && UnprovenStreaks.Concern(book))
            reasons.Add(UnprovenStreaks.Hold());
        if (DoubtfulOutline.In(measurement))
            reasons.Add(DoubtfulOutline.Hold(measurement));
        // OrderBy keeps the book's order among equals.
        var gravestFirst = reasons.OrderByDescending(r => r.Outcome).ToList();
        var surface = measurement.View == View.End ? "end" : "face";
        var outcome = GuardedAcceptance.Gravest(reasons.Select(r => r.Outcome));
        return new Verdict(
            book.Id,
            book.Version,
            book.Use,
            outcome,
            $"this {surface} only",
            gravestFirst,
            ChecksOf(gravestFirst, judged, measurement),
            [.. VerdictCautions.OfPhoto, book.ApprovedData, .. judged.SelectMany(j => j.Cautions).Distinct()])
        {
            Piece = NeededEvidence.OfPhoto(measurement.View, outcome, book),
        };
    }

    private static IEnumerable<Reason> NotCovered(Measurement m, RuleBook book)
    {
        var limits = book.Limits.OfType<IBlemishLimit>().ToList();
        var setting = BlemishSetting.OnPhoto(m);
        return m.Blemishes.Where(b => !limits.Exists(l => l.Covers(b.Kind))).Select(b => LimitJudge.Writable(BlemishJudge.NotCovered(book, setting, b)));
    }

    private static Reason NothingJudged(Measurement m, RuleBook book) => new(
        "nothing-judged", VerdictOutcome.Hold,
        $"The rule book has no limit that {(m.View == View.End ? "an end" : "a face")} shows.", $"rule book {book.Id}, version {book.Version}",
        HandCheck: "Photograph the views that the rule book's limits speak of, or judge the piece by hand.");

    /// <summary>What settles the holds first, then what this view cannot show, then what the photo itself could not say.</summary>
    private static IReadOnlyList<string> ChecksOf(IEnumerable<Reason> reasons, IEnumerable<LimitAssessment> judged, Measurement m) => HandChecks.Once(
        reasons.Select(r => r.HandCheck).Concat(judged.SelectMany(j => j.HandChecks)).Concat(m.CannotSay.Select(c => c.HandCheck)));
}
