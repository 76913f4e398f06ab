using GrainVision.Grading.Quantities;

namespace GrainVision.Measuring.Rings;

/// <summary>
/// Uncertainty of ring counts: scale, placing of the first and last boundary, path against the true radius, which rings the path's ends hold,
/// and the count itself: doubt of the sequence search, disagreement of the bands, and rings too narrow to be told apart.
/// </summary>
/// <param name="Relative">Relative standard uncertainty of everything but the count.</param>
/// <param name="Fewer">Standard uncertainty of the count downwards, rings.</param>
/// <param name="More">Standard uncertainty of the count upwards, rings.</param>
/// <param name="Count">Rings counted.</param>
internal sealed record RingUncertainty(double Relative, double Fewer, double More, int Count)
{
    /// <summary>0.001: a path 2.5° off the true radius reads long by this much.</summary>
    private const double PathRelative = 0.001;

    /// <summary>0.3 px of the raster: placing of one boundary.</summary>
    private const double PlacingPx = 0.3;

    /// <summary>
    /// 0.55: where the wood beyond the last boundary is narrower than this share of the ring before it, no boundary hides at the rim; from there to 0.9 the doubt
    /// grows. A boundary within 2 px of the rim cannot be seen: half of the missed ones on easy drawn ends lay there.
    /// </summary>
    private const double RimFrom = 0.55;
    private const double RimTo = 0.9;

    /// <summary>0.8 of a ring's usual deviation from the mean: one of the two rings at the path's ends may be in or out (an arris looks like a boundary).</summary>
    private const double EndRings = 0.8;

    /// <summary>6.5 photo px: narrower rings start to melt into their neighbours, which hides rings and never adds any.</summary>
    private const double NarrowPx = 6.5;

    /// <summary>0.12: rings missed beside each narrow ring that was still found: 0 to 0.17, 0.07 on average, on the five drawn ends with the most narrow rings (seeds 801-900); an end with few can miss more (seed 888: 3 beside 7).</summary>
    private const double MissedPerNarrow = 0.12;

    /// <summary>0.1: share of the weak boundaries that are no ring, where others had to be dropped.</summary>
    private const double WeakIsFalse = 0.1;

    /// <summary>0.6: share of the dropped boundaries that were rings after all (64 of 110 on drawn ends).</summary>
    private const double DroppedIsTrue = 0.6;

    /// <summary>0.35: of the rings under a stamp, a knot or a shake so many may be missed, or be none (drawn seeds 77, 90, 101, 105).</summary>
    private const double Covered = 0.35;

    /// <param name="found">Boundaries.</param>
    /// <param name="length">Samples of the whole profile.</param>
    /// <param name="photoPxPerSample">Photo pixels per sample.</param>
    /// <param name="pixelsPerMm">Scale.</param>
    public static RingUncertainty Compute(Boundaries found, int length, double photoPxPerSample, Measured pixelsPerMm)
    {
        var widths = found.AtPx.Zip(found.AtPx.Skip(1), (a, b) => b - a).ToArray();
        var count = widths.Length;
        var mean = widths.Average();

        var scale = pixelsPerMm.StandardUncertainty / pixelsPerMm.Value;
        var placing = Math.Sqrt(2) * PlacingPx / (mean * count);
        var ends = Math.Sqrt(Math.Pow(Rim(found.AtPx[0], widths[0], mean), 2) + Math.Pow(Rim(length - 1 - found.AtPx[^1], widths[^1], mean), 2)) / count;
        var spread = Math.Sqrt(widths.Sum(w => (w - mean) * (w - mean)) / Math.Max(1, count - 1)) / mean;
        ends = Math.Sqrt((ends * ends) + Math.Pow(EndRings * spread / count, 2));
        var relative = Math.Sqrt((scale * scale) + (placing * placing) + (ends * ends) + (PathRelative * PathRelative));

        var doubt = found.CountDeviation + (Math.Max(0, 0.9 - found.Agreement) * 0.1 * count);
        var bias = found.CountBias / Measured.CoverageFactor;
        var missed = MissedPerNarrow * widths.Count(w => w * photoPxPerSample < NarrowPx);
        // Where marks cross the rings, what few bands show may be a mark, and what was dropped may have been a ring.
        var spurious = WeakIsFalse * found.Weak * (found.Dropped > 0 ? 1 : 0);
        var dropped = DroppedIsTrue * found.Dropped;
        return new RingUncertainty(relative, doubt + Math.Max(0, -bias) + spurious, doubt + Math.Max(0, bias) + missed + dropped, count);
    }

    /// <summary>Interval of the whole path: lopsided towards the side on which rings are in doubt.</summary>
    /// <param name="perInch">Rings.</param>
    /// <param name="covered">Rings that lie under blemishes and marks.</param>
    public Measured WholePath(double perInch, double covered) => Interval(perInch, 1, 0, Covered * covered / Count);

    /// <summary>
    /// Interval of the worst inch, which holds few rings, so that one ring more or less weighs more there: the count's doubt is spread over
    /// the path, and the window gets its share by the square root of its length.
    /// </summary>
    /// <param name="perInch">Rings in the window.</param>
    /// <param name="ringsInWindow">Rings counted in it.</param>
    /// <param name="covered">Rings of the window that lie under blemishes and marks.</param>
    public Measured WorstInch(double perInch, double ringsInWindow, double covered) =>
        Interval(perInch, Math.Sqrt(Count / Math.Min(Count, ringsInWindow)), 0.03 / Math.Sqrt(ringsInWindow), Covered * covered / ringsInWindow);

    /// <summary>Doubt of one ring at the rim, in rings of the mean width: how much the mean would move if the stretch beyond the last boundary were a ring.</summary>
    private static double Rim(double gap, double neighbour, double mean) =>
        Math.Clamp(((gap / neighbour) - RimFrom) / (RimTo - RimFrom), 0, 1) * 0.5 * Math.Abs((gap / mean) - 1);

    private Measured Interval(double perInch, double share, double placing, double blemished)
    {
        double Half(double rings) => Measured.CoverageFactor * Math.Sqrt(
            (Relative * Relative) + Math.Pow(rings / Count * share, 2) + (placing * placing) + (blemished * blemished));
        return new Measured(perInch, perInch * Math.Max(0, 1 - Half(Fewer)), perInch * (1 + Half(More)));
    }
}
