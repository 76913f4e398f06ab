using GrainVision.Grading.Quantities;

namespace GrainVision.Measuring.Rings;

/// <summary>
/// Uncertainty of ring counts: scale, placing of the first and last boundary, path against the true radius, and the count itself.
/// </summary>
internal static class RingUncertainty
{
    /// <summary>0.003: a path 4.4° off the true radius reads long by this much; the field's own error is about half that.</summary>
    private const double PathRelative = 0.003;

    /// <summary>0.35 px of the raster: placing of one boundary.</summary>
    private const double PlacingPx = 0.35;

    /// <summary>Relative standard uncertainty of everything but the count.</summary>
    public static double Relative(Boundaries found, int count, double spanMm, double pitch, Measured pixelsPerMm)
    {
        var scale = pixelsPerMm.StandardUncertainty / pixelsPerMm.Value;
        var placing = Math.Sqrt(2) * PlacingPx / pitch / spanMm;
        return Math.Sqrt((scale * scale) + (placing * placing) + (PathRelative * PathRelative));
    }

    /// <summary>Whole-path interval: lopsided towards the side on which the sequence search sees more counts.</summary>
    public static Measured Interval(double perInch, double relative, Boundaries found, int count)
    {
        var (fewer, more) = CountDoubt(found, count);
        var low = Math.Sqrt((relative * relative) + (fewer * fewer));
        var high = Math.Sqrt((relative * relative) + (more * more));
        return new Measured(
            perInch, perInch * Math.Max(0, 1 - (Measured.CoverageFactor * low)), perInch * (1 + (Measured.CoverageFactor * high)));
    }

    /// <summary>The worst inch holds few rings, so one ring more or less weighs more there.</summary>
    public static Measured WorstInch(double perInch, double relative, Boundaries found, double ringsInWindow, int count)
    {
        // The count's doubt is spread over the path: the window gets its share by the square root of its length.
        var share = Math.Sqrt(count / Math.Min(count, ringsInWindow));
        var (fewer, more) = CountDoubt(found, count);
        var placing = 0.03 / Math.Sqrt(ringsInWindow);
        var low = Math.Sqrt((relative * relative) + (fewer * fewer * share * share) + (placing * placing));
        var high = Math.Sqrt((relative * relative) + (more * more * share * share) + (placing * placing));
        return new Measured(
            perInch, perInch * Math.Max(0, 1 - (Measured.CoverageFactor * low)), perInch * (1 + (Measured.CoverageFactor * high)));
    }

    private static (double Fewer, double More) CountDoubt(Boundaries found, int count)
    {
        var doubt = found.CountDeviation + (Math.Max(0, 0.9 - found.Agreement) * 0.1 * count);
        var bias = found.CountBias / Measured.CoverageFactor;
        return ((doubt + Math.Max(0, -bias)) / count, (doubt + Math.Max(0, bias)) / count);
    }
}
