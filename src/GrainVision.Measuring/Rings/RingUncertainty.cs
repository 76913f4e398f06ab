using GrainVision.Grading.Quantities;

namespace GrainVision.Measuring.Rings;

/// <summary>
/// Uncertainty of ring counts: scale, placing of the first and last boundary, path against the true radius, which rings the path's ends hold, and the count
/// itself: how likely each candidate is a boundary, rings too narrow to be told apart, and stretches that cannot be read, with the rings that they hide.
/// </summary>
/// <param name="Rings">Boundaries and candidates along the path.</param>
/// <param name="Relative">Relative standard uncertainty of everything but the count.</param>
/// <param name="RingMm">Mean ring width, mm.</param>
internal sealed record RingUncertainty(RingsOnPath Rings, double Relative, double RingMm)
{
    /// <summary>0.001: a path 2.5° off the true radius reads long by this much.</summary>
    private const double PathRelative = 0.001;

    /// <summary>0.02 mm: placing of one boundary where the bands agree, a third of a column.</summary>
    private const double PlacingMm = 0.02;

    /// <summary>
    /// 0.55: where the wood beyond the last boundary is narrower than this share of the ring before it, no boundary hides at the rim; from there to 0.9 the doubt
    /// grows. A boundary within 2 px of the rim cannot be seen.
    /// </summary>
    private const double RimFrom = 0.55;
    private const double RimTo = 0.9;

    /// <summary>0.4 of a ring's usual deviation from the mean: one of the two rings at the path's ends may be in or out (an arris looks like a boundary).</summary>
    private const double EndRings = 0.4;

    /// <summary>6.5 photo px: narrower rings start to melt into their neighbours, which hides rings and never adds any.</summary>
    private const double NarrowPx = 6.5;

    /// <summary>0.06: rings missed beside each narrow ring that was found.</summary>
    private const double MissedPerNarrow = 0.06;

    /// <summary>0.35: of the rings under a stamp, a knot or a shake so many may be missed, or be none.</summary>
    private const double Covered = 0.35;

    /// <param name="rings">Boundaries and candidates along the path.</param>
    /// <param name="pixelsPerMm">Scale.</param>
    public static RingUncertainty Compute(RingsOnPath rings, Measured pixelsPerMm)
    {
        var widths = rings.WidthsMm;
        var (count, mean) = (widths.Length, widths.Average());
        var (first, last) = (rings.Boundaries[0], rings.Boundaries[^1]);
        var scale = pixelsPerMm.StandardUncertainty / pixelsPerMm.Value;
        var placing = Math.Sqrt((2 * PlacingMm * PlacingMm) + (first.Scatter * first.Scatter) + (last.Scatter * last.Scatter)) / (mean * count);
        var start = Rim(first.At - rings.StartMm, widths[0], mean);
        var end = Rim(rings.EndMm - last.At, widths[^1], mean);
        var spread = Math.Sqrt(widths.Sum(w => (w - mean) * (w - mean)) / Math.Max(1, count - 1)) / mean;
        var ends = Math.Sqrt((start * start) + (end * end) + Math.Pow(EndRings * spread, 2)) / count;
        return new RingUncertainty(rings, Math.Sqrt((scale * scale) + (placing * placing) + (ends * ends) + (PathRelative * PathRelative)), mean);
    }

    /// <summary>Interval of the whole path.</summary>
    /// <param name="perInch">Rings.</param>
    public Measured WholePath(double perInch) => Interval(perInch, Rings.Boundaries[0].At, Rings.Boundaries[^1].At, Rings.WidthsMm.Length, 0);

    /// <summary>Interval of the worst inch, which holds few rings, so that one ring more or less weighs more there.</summary>
    /// <param name="worst">The window.</param>
    public Measured WorstInch(InchWindow worst)
    {
        var rings = Math.Max(1, worst.PerInch * (worst.ToMm - worst.FromMm) / Units.MmPerInch);
        return Interval(worst.PerInch, worst.FromMm, worst.ToMm, rings, 0.03 / Math.Sqrt(rings));
    }

    private Measured Interval(double perInch, double fromMm, double toMm, double count, double placing)
    {
        // Lopsided towards the side on which rings are in doubt.
        var inside = Rings.Candidates.Where(c => c.At >= fromMm - (RingMm / 2) && c.At <= toMm + (RingMm / 2)).ToList();
        var taken = Rings.Boundaries.ToHashSet();
        var (falseOnes, missed) = (inside.Where(taken.Contains).Select(c => 1 - c.Chance).ToList(), inside.Where(c => !taken.Contains(c)).Select(c => c.Chance).ToList());
        var narrow = MissedPerNarrow * Rings.NarrowerThan(NarrowPx, fromMm, toMm);
        var hidden = Rings.HiddenRings(fromMm, toMm);
        var covered = Covered * Rings.CoveredMm(fromMm, toMm) / RingMm;
        double Half(List<double> chances, double more)
        {
            var rings = chances.Sum() + Math.Sqrt(chances.Sum(q => q * (1 - q))) + more;
            return Measured.CoverageFactor * Math.Sqrt((Relative * Relative) + (placing * placing) + (((rings * rings) + (covered * covered)) / (count * count)));
        }

        return new Measured(perInch, perInch * Math.Max(0, 1 - Half(falseOnes, 0)), perInch * (1 + Half(missed, narrow + hidden)));
    }

    /// <summary>Doubt of one ring at the rim, in rings of the mean width: how much the mean would move if the stretch beyond the last boundary were a ring.</summary>
    private static double Rim(double gap, double neighbour, double mean) =>
        Math.Clamp(((gap / neighbour) - RimFrom) / (RimTo - RimFrom), 0, 1) * 0.5 * Math.Abs((gap / mean) - 1);
}
