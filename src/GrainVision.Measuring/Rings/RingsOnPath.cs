using GrainVision.Measuring.Numerics;

namespace GrainVision.Measuring.Rings;

/// <summary>The rings of a path, in mm along it.</summary>
/// <param name="Boundaries">Taken for boundaries, ascending.</param>
/// <param name="Candidates">Every place on the wood that may be one, these included.</param>
/// <param name="StartMm">Where the wood starts.</param>
/// <param name="EndMm">Where the wood ends.</param>
/// <param name="Unreadable">At every step of the path, the share of the strip that cannot be read.</param>
/// <param name="StepMm">Those steps.</param>
/// <param name="PhotoPxPerMm">Of the photo at the middle of the section.</param>
internal sealed record RingsOnPath(
    IReadOnlyList<RingCandidate> Boundaries, IReadOnlyList<RingCandidate> Candidates, double StartMm, double EndMm, double[] Unreadable, double StepMm, double PhotoPxPerMm)
{
    /// <summary>
    /// 0.08 mm: a "boundary" nearer to the rim is often the dark arris, and what is left of the cut ring would then count as a whole one: a ring too many. Left out, the rings
    /// that stay are whole either way.
    /// </summary>
    private const double RimMm = 0.08;

    /// <summary>0.5 mm: nearer to the rim than that, what one band alone can show is as often the end of the wood as a ring (4 of 8 on drawn ends).</summary>
    private const double LonelyMm = 0.5;

    /// <summary>0.2: the network reads rings on under a stain or a thin stroke; what a blemish covers is unreadable by so much where the network reads it.</summary>
    private const double BlemishDoubt = 0.2;

    public double[] WidthsMm { get; } = [.. Boundaries.Zip(Boundaries.Skip(1), (a, b) => b.At - a.At)];

    public double MeanWidthMm => (Boundaries[^1].At - Boundaries[0].At) / (Boundaries.Count - 1);

    /// <summary>Mean chance of the boundaries: how sure the network is, and how far parallel bands agree.</summary>
    public double Agreement => Boundaries.Average(b => b.Chance);

    /// <param name="reading">In columns of the path.</param>
    /// <param name="stepMm">Width of a column.</param>
    /// <param name="firstWood">First column on the wood.</param>
    /// <param name="lastWood">Last one.</param>
    /// <param name="cover">Share of the strip at a place that lies under blemishes found elsewhere.</param>
    /// <param name="photoPxPerMm">Of the photo.</param>
    public static RingsOnPath From(RingReading reading, double stepMm, int firstWood, int lastWood, Func<double, double> cover, double photoPxPerMm)
    {
        var (start, end) = (firstWood * stepMm, lastWood * stepMm);
        IEnumerable<RingCandidate> OnWood(IEnumerable<RingCandidate> some) => some
            .Select(c => c with { At = c.At * stepMm, Scatter = c.Scatter * stepMm })
            .Where(c => Math.Min(c.At - start, end - c.At) is var rim && rim >= (c.Bands > 1 ? RimMm : LonelyMm));
        double[] unreadable = [.. reading.Unreadable.Select((u, i) => Math.Max(u, BlemishDoubt * cover(i * stepMm)))];
        return new RingsOnPath([.. OnWood(reading.Chosen)], [.. OnWood(reading.Candidates)], start, end, unreadable, stepMm, photoPxPerMm);
    }

    /// <summary>Rings narrower than this many px of the photo between two places.</summary>
    public int NarrowerThan(double px, double fromMm, double toMm) =>
        Enumerable.Range(0, WidthsMm.Length).Count(i => WidthsMm[i] * PhotoPxPerMm < px && Boundaries[i].At >= fromMm && Boundaries[i].At < toMm);

    /// <summary>Millimetres between two places that cannot be read, weighed by how much of the strip that is.</summary>
    public double CoveredMm(double fromMm, double toMm)
    {
        var (from, to) = (Math.Max(0, (int)(fromMm / StepMm)), Math.Min(Unreadable.Length - 1, (int)(toMm / StepMm)));
        var sum = 0.0;
        for (var i = from; i <= to; i++)
            sum += Unreadable[i] * StepMm;
        return sum;
    }

    /// <summary>
    /// Rings that lie hidden between two places: where a ring is 1.6 times as wide as those about it and a third of it cannot be read, as many more as would fit.
    /// </summary>
    public double HiddenRings(double fromMm, double toMm)
    {
        var hidden = 0.0;
        for (var i = 0; i < WidthsMm.Length; i++)
        {
            var (start, end) = (Boundaries[i].At, Boundaries[i + 1].At);
            if (end <= fromMm || start >= toMm || CoveredMm(start, end) < WidthsMm[i] / 3)
                continue;
            var about = WidthsMm.Where((_, k) => k != i && Math.Abs(k - i) <= 3).ToArray();
            var wider = about.Length == 0 ? 1 : WidthsMm[i] / RobustStatistics.Median(about);
            hidden += wider < 1.6 ? 0 : wider - 1;
        }

        return hidden;
    }
}
