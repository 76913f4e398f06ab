using GrainVision.Grading.Quantities;

namespace GrainVision.Measuring.Scale.SteelRule;

/// <summary>Where a rule lies in the photo, kept after its strip is gone. Photo pixels.</summary>
internal sealed record SteelRuleGeometry(
    IReadOnlyList<PointPx> TickPoints,
    PointPx LineStart,
    PointPx Along,
    double PhotoPxPerStripPx,
    SpacingFit Fit,
    IReadOnlyList<PointPx> Quad,
    SteelRulePlane Plane)
{
    /// <summary>Beyond the graduations a rule goes on for a few millimetres: 8 spacings, or what the picture holds.</summary>
    private const double EndSpacings = 8;

    /// <summary>A rule is at least 6 spacings wider than its longest graduations: figures stand there.</summary>
    private const double BodySpacings = 6;

    public static SteelRuleGeometry? From(SteelRuleStrip strip, IReadOnlyList<Tick> ticks, SpacingFit fit, TickLengths lengths, double stepMm)
    {
        if (SteelRulePlane.From(strip, fit, lengths.Shear, 0.5 * (ticks[0].Index + ticks[^1].Index), stepMm) is not { } plane)
            return null;
        var start = strip.ToPhoto(0, strip.MiddleV);
        var next = strip.ToPhoto(1, strip.MiddleV);
        var far = BackEdge.Find(strip, ticks, fit, lengths, BodySpacings);
        var from = fit.At(ticks[0].Index) - (EndSpacings * fit.SpacingAt(ticks[0].Index));
        var to = fit.At(ticks[^1].Index) + (EndSpacings * fit.SpacingAt(ticks[^1].Index));

        // One spacing outside the edge: its shadow and chamfer are no wood either.
        var outside = -lengths.InwardSign * strip.SpacingPx;
        var inside = lengths.InwardSign * far;
        return new SteelRuleGeometry(
            ticks.Select(t => strip.ToPhoto(t.U, strip.MiddleV)).ToArray(),
            start,
            (next - start) * (1 / next.DistanceTo(start)),
            strip.PhotoPxPerStripPx,
            fit,
            [
                strip.ToPhoto(from, lengths.EdgeAt(from) + outside),
                strip.ToPhoto(to, lengths.EdgeAt(to) + outside),
                strip.ToPhoto(to, lengths.EdgeAt(to) + inside),
                strip.ToPhoto(from, lengths.EdgeAt(from) + inside),
            ],
            plane);
    }

    /// <summary>Number on the row beside a place in the photo (beyond the ends too), and how far off the row that place is (px).</summary>
    public (double Index, double AcrossPx) Beside(PointPx p)
    {
        var d = p - LineStart;
        var u = ((d.X * Along.X) + (d.Y * Along.Y)) / PhotoPxPerStripPx;
        return (Fit.IndexAt(u), Math.Abs((d.Y * Along.X) - (d.X * Along.Y)));
    }

    /// <summary>Pixels per mm of the plane at a place in the photo.</summary>
    public double PixelsPerMmAt(PointPx p) => 1 / Plane.PxFromMm.Inverse().MagnificationAt(p);
}
