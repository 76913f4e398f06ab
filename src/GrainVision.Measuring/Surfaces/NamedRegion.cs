using GrainVision.Grading.Findings;

namespace GrainVision.Measuring.Surfaces;

/// <summary>A region with what the trees say of it.</summary>
/// <param name="Region">The place.</param>
/// <param name="Probabilities">Calibrated, in the order of <see cref="BlemishClasses"/>.</param>
internal sealed record NamedRegion(MarkRegion Region, IReadOnlyList<double> Probabilities)
{
    /// <summary>
    /// 0.94: just below the 0.95 from which the verdict takes a name for sure. A name from a photo alone never lets a spike knot or a check through as a knot or a
    /// pocket: such a name leads to a hold with its hand check, never to an accept.
    /// </summary>
    public const double MostForAllowedKind = 0.94;

    /// <summary>0.005: a kind less likely than that is not listed.</summary>
    private const double LeastListed = 0.005;

    /// <summary>That it is a blemish of any kind.</summary>
    public double BlemishProbability => 1 - Probabilities[BlemishClasses.None];

    /// <summary>The likeliest kind, should it be a blemish.</summary>
    public BlemishKind Kind => BlemishClasses.KindOf(BestIndex)!.Value;

    /// <summary>That it is a blemish of that kind; kinds that a rule book may allow stay below <see cref="MostForAllowedKind"/>.</summary>
    public double Probability => Of(BestIndex);

    /// <summary>Every kind that it may be with a chance of a half percent or more, likeliest first.</summary>
    public IReadOnlyList<KindProbability> Kinds =>
    [
        .. Enumerable.Range(1, Probabilities.Count - 1).Where(k => k == BestIndex || Probabilities[k] >= LeastListed).OrderByDescending(k => Probabilities[k])
            .Select(k => new KindProbability(BlemishClasses.KindOf(k)!.Value, Math.Round(Of(k), 3))),
    ];

    private double Of(int index) => BlemishClasses.KindOf(index) is BlemishKind.Knot or BlemishKind.PinKnotCluster or BlemishKind.PitchPocket
        ? Math.Min(MostForAllowedKind, Probabilities[index])
        : Probabilities[index];

    private int BestIndex => BlemishClasses.Likeliest(Probabilities);
}
