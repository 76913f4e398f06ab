using GrainVision.Grading.Quantities;

namespace GrainVision.Measuring.Scale.Rule;

/// <summary>Where a rule lies in the photo, kept after its strip is gone. Photo pixels.</summary>
internal sealed record RuleGeometry(
    IReadOnlyList<PointPx> TickPoints,
    PointPx LineStart,
    PointPx Along,
    double PhotoPxPerStripPx,
    SpacingFit Fit,
    int FirstIndex,
    int LastIndex,
    IReadOnlyList<PointPx> Quad)
{
    /// <summary>Beyond the graduations a rule goes on for a few millimetres: 8 spacings, or what the picture holds.</summary>
    private const double EndSpacings = 8;

    /// <summary>A rule is at least 6 spacings wider than its longest graduations: figures stand there.</summary>
    private const double BodySpacings = 6;

    public static RuleGeometry From(RuleStrip strip, IReadOnlyList<Tick> ticks, SpacingFit fit, TickLengths lengths)
    {
        var start = strip.ToPhoto(0, strip.MiddleV);
        var next = strip.ToPhoto(1, strip.MiddleV);
        var far = BackEdge.Find(strip, ticks, fit, lengths, BodySpacings);
        var from = fit.At(ticks[0].Index) - (EndSpacings * fit.SpacingAt(ticks[0].Index));
        var to = fit.At(ticks[^1].Index) + (EndSpacings * fit.SpacingAt(ticks[^1].Index));

        // One spacing outside the edge: its shadow and chamfer are no wood either.
        var outside = -lengths.InwardSign * strip.SpacingPx;
        var inside = lengths.InwardSign * far;
        return new RuleGeometry(
            ticks.Select(t => strip.ToPhoto(t.U, lengths.EdgeAt(t.U) + (0.5 * lengths.InwardSign * strip.SpacingPx))).ToArray(),
            start,
            (next - start) * (1 / next.DistanceTo(start)),
            strip.PhotoPxPerStripPx,
            fit,
            ticks[0].Index,
            ticks[^1].Index,
            [
                strip.ToPhoto(from, lengths.EdgeAt(from) + outside),
                strip.ToPhoto(to, lengths.EdgeAt(to) + outside),
                strip.ToPhoto(to, lengths.EdgeAt(to) + inside),
                strip.ToPhoto(from, lengths.EdgeAt(from) + inside),
            ]);
    }

    /// <summary>Photo px from one graduation to the next, at a number.</summary>
    public double SpacingPhotoPx(double index) => Fit.SpacingAt(index) * PhotoPxPerStripPx;

    /// <summary>Number of the graduation nearest to a place in the photo, among those that were read, and how far off the row that place is (px).</summary>
    public (double Index, double AcrossPx, double BeyondPx) Nearest(PointPx p)
    {
        var d = p - LineStart;
        var u = ((d.X * Along.X) + (d.Y * Along.Y)) / PhotoPxPerStripPx;
        var clamped = Math.Clamp(u, Fit.At(FirstIndex), Fit.At(LastIndex));
        return (Fit.IndexAt(clamped), Math.Abs((d.Y * Along.X) - (d.X * Along.Y)), Math.Abs(u - clamped) * PhotoPxPerStripPx);
    }
}
