namespace GrainVision.Trainer;

/// <summary>Chooses from which probability of any blemish a candidate is reported.</summary>
internal static class OperatingPoint
{
    /// <summary>Greatest first. 0.02 is where a person would have to look at every shadow.</summary>
    private static readonly double[] Tried = [0.3, 0.2, 0.15, 0.1, 0.07, 0.05, 0.04, 0.03, 0.02];

    /// <summary>0.95: share of all blemishes, down to hair checks, that the calibration pictures must keep.</summary>
    private const double LeastFound = 0.95;

    /// <summary>The greatest threshold that loses no knot and few other blemishes of the calibration pictures: a missed knot is worse than a false alarm.</summary>
    public static double Choose(Evaluation evaluation)
    {
        foreach (var x in Tried)
        {
            var f = evaluation.At(Split.Calibration, Source.Synthetic, x);
            if (f.KnotsFound == f.Knots && f.BlemishesFound >= LeastFound * f.Blemishes)
                return x;
        }

        return Tried[^1];
    }
}
