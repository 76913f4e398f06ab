using GrainVision.Grading.Findings;

namespace GrainVision.Measuring.Scale.SteelRule;

/// <summary>
/// Two rows of graduations in one photo witness each other: both edges of a rule, or two rules. What either may be by itself is weighed by whether both then
/// tell the same scale; 25.4 to 1 between millimetres and parts of an inch leaves few pairs.
/// </summary>
internal static class TwoEdges
{
    /// <summary>0.7 %: rows on one rule tell the same scale, but for what perspective and lens leave open between them.</summary>
    private const double Agreement = 0.007;

    /// <summary>One pair in fifty lies in two planes, or one of the rows is none.</summary>
    private const double Strangers = 0.02;

    /// <summary>0.97: together they must be surer than one by itself.</summary>
    private const double LeastTogether = 0.97;

    /// <summary>The readings, each weighed with the best of the others.</summary>
    public static List<SteelRuleReading> Weigh(IReadOnlyList<SteelRuleReading> readings) =>
        [.. readings.Select(r => readings.Where(o => !ReferenceEquals(o, r) && o.Standing != RuleStanding.TooShort).Select(o => Weigh(r, o)).Append(r).MaxBy(w => w.Verdict.Probability)!)];

    /// <summary>True where two rows tell the same scale between them, in the divisions they were read with.</summary>
    public static bool Agree(SteelRuleReading a, SteelRuleReading b) => Math.Abs(Between(a, b)) < 3 * Agreement;

    private static SteelRuleReading Weigh(SteelRuleReading reading, SteelRuleReading other)
    {
        var between = Between(reading, other);

        // Two rows of the same unit may both be taken for their halves or doubles: 64ths and 16ths look like 32nds and eighths. Only 25.4 to 1 decides.
        if (!double.IsFinite(between) || reading.Verdict.Best.Unit == other.Verdict.Best.Unit)
            return reading;
        var best = 0.0;
        var all = 0.0;
        foreach (var own in reading.Verdict.Weights)
        {
            var sum = 0.0;
            foreach (var theirs in other.Verdict.Weights)
            {
                // A row read with another step tells another scale.
                var off = between - Math.Log(own.StepMm / reading.StepMm) + Math.Log(theirs.StepMm / other.StepMm);
                sum += theirs.P * (Strangers + ((1 - Strangers) * 5 * Math.Exp(-0.5 * off * off / (Agreement * Agreement))));
            }

            sum += Strangers * other.Verdict.UnreadableP;
            all += own.P * sum;
            if (own.Unit == reading.Verdict.Best.Unit && own.StepMm == reading.Verdict.Best.StepMm)
                best += own.P * sum;
        }

        all += Strangers * reading.Verdict.UnreadableP;
        var p = all > 0 ? best / all : 0;
        return p >= LeastTogether && p > reading.Verdict.Probability ? reading.Surer(p) : reading;
    }

    /// <summary>Logarithm of the ratio of their scales half way between them.</summary>
    public static double Between(SteelRuleReading a, SteelRuleReading b)
    {
        var middle = (a.Band.Middle + b.Band.Middle) * 0.5;
        return a.Geometry.View.LogAt(middle) - b.Geometry.View.LogAt(middle);
    }
}
