using System.Diagnostics;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Rules;
using GrainVision.Grading.Verdicts;

namespace GrainVision.Grading.Pieces;

/// <summary>Moisture and specific gravity of a piece: from the moisture meter and the scales, not from photos.</summary>
internal static class MoistureAndDensity
{
    private const string Percent = "%";

    internal static LimitAssessment Judge(JoinedPiece joined, Limit limit) => limit switch
    {
        MoistureRange l => Judge(joined, l),
        SpecificGravityMinimum l => Judge(joined, l),
        _ => throw new UnreachableException($"{limit.GetType().Name} is judged by no reading."),
    };

    /// <summary>Out of the range is a hold and never a reject: the limit is of moisture at fabrication, and stock can be seasoned.</summary>
    private static LimitAssessment Judge(JoinedPiece joined, MoistureRange limit)
    {
        var range = $"{ReasonText.Plain(limit.LeastPercent)} to {ReasonText.Plain(limit.MostPercent)} % of the oven-dry weight";
        if (joined.Readings.MoisturePercent is not { } reading)
        {
            return LimitAssessment.Judged(new Reason(limit.Id, VerdictOutcome.Hold, $"Moisture: not read, against {range}.", limit.Source,
                HandCheck: $"Read the moisture with a meter: {range}."));
        }

        var within = GuardedAcceptance.Within(reading, limit.LeastPercent, limit.MostPercent);
        var outcome = within == VerdictOutcome.Accept ? VerdictOutcome.Accept : VerdictOutcome.Hold;
        var decay = limit.SuspectDecayAbovePercent is { } above && reading.Value > above;
        var word = within == VerdictOutcome.Reject ? "not met as it is" : ReasonText.Word(outcome);
        var hand = decay
            ? $"Above {ReasonText.Plain(limit.SuspectDecayAbovePercent!.Value)} % moisture suspect decay: inspect for it, season the piece and read again."
            : $"Season the piece and read its moisture again, or weigh and oven-dry a sample: {range}.";
        return LimitAssessment.Judged(new Reason(limit.Id, outcome,
            $"Moisture {ReasonText.Interval(reading, " %", 1, limit.LeastPercent, limit.MostPercent)} against {range}: {word}.", limit.Source,
            "moisturePercent", reading, reading.Value < limit.LeastPercent ? limit.LeastPercent : limit.MostPercent, Percent,
            HandCheck: outcome == VerdictOutcome.Hold ? hand : null));
    }

    private static LimitAssessment Judge(JoinedPiece joined, SpecificGravityMinimum limit)
    {
        if (PieceWeight.SpecificGravity(joined) is not { } gravity)
        {
            var wanted = HandJudge.Judge(limit, joined.Species).HandChecks[0];
            return LimitAssessment.Judged(new Reason(limit.Id, VerdictOutcome.Hold,
                "Specific gravity: not known; it takes the weight, the moisture, both ends' measured sizes and a species whose weight per 1 % moisture is published.",
                limit.Source, HandCheck: $"Weigh the piece and read its moisture. {wanted}"));
        }

        var answer = SpeciesJudge.Judge(limit, joined.Species, r => r.Least, r => GuardedAcceptance.Within(gravity, r.Least, r.Most ?? double.MaxValue) switch
        {
            // Too heavy for its class is no weakness: a person says which class it is.
            VerdictOutcome.Reject when GuardedAcceptance.AtLeast(gravity, r.Least) == VerdictOutcome.Accept => VerdictOutcome.Hold,
            var other => other,
        });
        if (answer.Row is not { } row)
            return LimitAssessment.Judged(SpeciesJudge.NotListed(limit, joined.Species));
        return LimitAssessment.Judged(new Reason(limit.Id, answer.Outcome,
            $"Specific gravity {ReasonText.Interval(gravity, "", 3, row.Least)} against at least {ReasonText.Plain(row.Least)} {answer.Whose}{RingJudge.Chance(answer.Outcome, gravity, row.Least, row.Most)}.",
            limit.Source, "specificGravity", gravity, row.Least, "1",
            HandCheck: answer.Outcome != VerdictOutcome.Hold ? null
                : answer.SpeciesWouldSettle ? SpeciesJudge.StateIt
                : "Measure the piece's thickness, width and length, weigh it and oven-dry a sample for its moisture.")
        {
            Asks = answer.SpeciesWouldSettle ? QuestionCode.Species : null,
        });
    }
}
