using GrainVision.Grading.Findings;
using GrainVision.Measuring.Blemishes;

namespace GrainVision.Trainer;

/// <summary>Chooses, kind by kind, from which probability of any blemish a candidate is reported.</summary>
internal static class OperatingPoint
{
    /// <summary>Least first. 0.02 is where a person would have to look at every shadow.</summary>
    private static readonly double[] Tried = [0.02, 0.03, 0.04, 0.05, 0.07, 0.1, 0.15, 0.2, 0.25, 0.3];

    /// <summary>0.95: share of all blemishes, down to hair checks, that the calibration pictures must keep.</summary>
    private const double LeastFound = 0.95;

    /// <summary>0.95: share of each kind that they must keep, so that no kind pays for the others.</summary>
    private const double LeastOfKind = 0.95;

    /// <summary>0.05: models 2 and 3 both still show 19 of 20 real knots there, and lose them above it; below it clear sections show false knots.</summary>
    private const double MostForKnots = 0.05;

    /// <summary>
    /// From the least threshold for all kinds, step by step: the one kind's threshold is raised that saves most false alarms for each true blemish
    /// lost, as long as no drawn knot is lost and enough of every kind is kept. Candidates called a knot stay at or below <see cref="MostForKnots"/>:
    /// real knots are seen less surely than drawn ones, and no real tile is left over to choose by. The kinds that no book allows keep the least
    /// threshold: a missed one is a wrong accept.
    /// </summary>
    public static IReadOnlyList<double> Choose(Evaluation evaluation)
    {
        var step = new int[BlemishClasses.Count];
        double[] At(int[] steps) => [.. steps.Select(k => Tried[k])];
        var (now, kinds) = evaluation.Kept(Split.Calibration, Source.Synthetic, At(step));
        var least = kinds.Select(k => (int)Math.Min(k.Kept, Math.Ceiling(LeastOfKind * k.All))).ToArray();
        var leastAll = Math.Min(now.BlemishesFound, LeastFound * now.Blemishes);
        var knots = now.KnotsFound;
        while (true)
        {
            var (best, bestWorth, bestFigures) = (-1, 0.0, now);
            for (var k = 1; k < step.Length; k++)
            {
                var kind = BlemishClasses.KindOf(k)!.Value;
                if (KeepsLeast(kind) || step[k] == Tried.Length - 1 || (BlemishClasses.IsKnot(kind) && Tried[step[k] + 1] > MostForKnots))
                    continue;
                step[k]++;
                var (then, kept) = evaluation.Kept(Split.Calibration, Source.Synthetic, At(step));
                step[k]--;
                if (then.KnotsFound < knots || then.BlemishesFound < leastAll || kept.Select((c, i) => c.Kept < least[i]).Any(lost => lost))
                    continue;
                // 0.5: a step that loses nothing is worth twice its false alarms.
                var worth = (now.False - then.False + 0.01) / (now.BlemishesFound - then.BlemishesFound + 0.5);
                if (worth > bestWorth)
                    (best, bestWorth, bestFigures) = (k, worth, then);
            }

            if (best < 0)
                return At(step);
            step[best]++;
            now = bestFigures;
        }
    }

    private static bool KeepsLeast(BlemishKind kind) =>
        kind is BlemishKind.Check or BlemishKind.ShakeOrSplit or BlemishKind.BoreHole or BlemishKind.Stain;
}
