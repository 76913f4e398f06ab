using GrainVision.Grading.Findings;
using GrainVision.Grading.Rules;

namespace GrainVision.Grading.Verdicts;

/// <summary>
/// Holds one photo's measurement against a rule book.
/// </summary>
/// <remarks>
/// One photo shows one surface, so the verdict speaks of that surface only: limits that another view would show become hand
/// checks. A limit that this view should show but whose finding is missing is a hold. The gravest reason governs.
/// </remarks>
public static class Judge
{
    private static readonly string[] Cautions =
    [
        "Supports a qualified person; not an airworthiness approval. The approved data and the licensed inspector decide.",
        "A photograph does not show compression failures, compression wood, decay, spiral grain hidden in a flat-grain face, or the inside of the piece.",
    ];

    /// <summary>Judges the measurement; never throws for odd findings: what does not fit together holds.</summary>
    public static Verdict Of(Measurement measurement, RuleBook book)
    {
        ArgumentNullException.ThrowIfNull(measurement);
        ArgumentNullException.ThrowIfNull(book);
        var findings = book.Limits.Select(limit => OneLimit(limit, measurement)).ToList();
        var reasons = findings.SelectMany(f => f.Reasons).Concat(BlemishJudge.Judge(book, measurement)).Concat(UnknownCannotSay(measurement)).ToList();
        if (reasons.Count == 0)
            reasons.Add(new Reason("nothing-judged", VerdictOutcome.Hold, "This book has no limit that this view shows.", book.Title, HandCheck: "Judge the piece by hand."));

        // Stable: within an outcome, the book's own order.
        var ordered = reasons.OrderByDescending(r => r.Outcome).ToList();
        var checks = reasons.Select(r => r.HandCheck).OfType<string>()
            .Concat(findings.SelectMany(f => f.HandChecks))
            .Concat(measurement.CannotSay.Select(c => c.HandCheck))
            .Where(c => !string.IsNullOrWhiteSpace(c))
            .Distinct(StringComparer.Ordinal)
            .ToList();
        var cautions = Cautions.Append(book.ApprovedData).Concat(findings.SelectMany(f => f.Cautions)).Distinct(StringComparer.Ordinal).ToList();
        var scope = measurement.View == View.End ? "this end only" : "this face only";
        return new Verdict(book.Id, book.Version, book.Use, DecisionRule.Gravest(reasons.Select(r => r.Outcome)), scope, ordered, checks, cautions);
    }

    private static LimitFindings OneLimit(Limit limit, Measurement m) => limit switch
    {
        RingsPerInchMinimum l => RingJudge.Judge(l, m),
        RingsPerInchRange l => RingJudge.Judge(l, m),
        EdgeGrain l => AngleJudge.Judge(l, m),
        QuarterSawn l => AngleJudge.Judge(l, m),
        BoxedPith l => AngleJudge.Judge(l, m),
        SlopeOfGrain l => SlopeJudge.Judge(l, m),
        SlopeOuterPart l => SlopeJudge.Judge(l, m),
        SlopeMiddleHalf l => SlopeJudge.Judge(l, m),
        MoistureRange l => LimitFindings.NotShown($"Moisture meter: {l.Text} ({l.Source})"),
        SpecificGravityMinimum l => LimitFindings.NotShown($"Weigh and measure the piece: {l.Text} ({l.Source})"),
        HandCheckOnly l => l.Views.Contains(m.View) ? LimitFindings.NotShown(l.HandCheck) : LimitFindings.Judged(),
        // All blemish limits together are judged blemish by blemish.
        IBlemishLimit => LimitFindings.Judged(),
        _ => LimitFindings.Judged(new Reason(limit.Id, VerdictOutcome.Hold, $"This version cannot judge: {limit.Text}", limit.Source, HandCheck: limit.Text)),
    };

    /// <summary>A "cannot say" that no limit asked for by name may matter to any of them: hold.</summary>
    private static IEnumerable<Reason> UnknownCannotSay(Measurement m) =>
        from cannot in m.CannotSay
        where CannotSayReader.TopicOf(cannot) == Topic.Unknown
        select new Reason("cannot-say", VerdictOutcome.Hold, $"Cannot say {cannot.What} from this photo: {cannot.Why}", "the measurement itself", HandCheck: cannot.HandCheck);
}
