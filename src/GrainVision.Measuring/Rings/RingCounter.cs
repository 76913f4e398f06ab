using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Measuring.Angle;
using GrainVision.Measuring.Orientation;
using GrainVision.Measuring.Section;
using OpenCvSharp;

namespace GrainVision.Measuring.Rings;

/// <summary>What the ring stage found: the finding, or why it cannot say.</summary>
internal sealed record RingStageResult(RingFinding? Finding, CannotSay? CannotSay);

/// <summary>
/// Counts growth rings along the radial path through the middle of an end.
/// </summary>
/// <remarks>
/// Known to fail: rings of ring-porous wood under 8 px, whose pores break the boundary up; false rings as dark as true
/// ones; pieces that show fewer than four boundaries.
/// </remarks>
internal static class RingCounter
{
    /// <summary>4: photo pixels per ring below which neighbouring boundaries melt into each other (design.md section 4).</summary>
    public const double LeastPxPerRing = 4;

    /// <summary>4: three whole rings; fewer give no spacing to judge a false or a missing one by.</summary>
    private const int FewestBoundaries = 4;

    /// <summary>0.55: below this mean agreement of parallel bands the "rings" are chance.</summary>
    private const double LeastAgreement = 0.55;

    /// <summary>3 and 0.15: so many boundaries dropped, and such a share of all, are marks that cross the rings; then the rest is not to be trusted either.</summary>
    private const int FewestMarks = 3;

    private const double MostDroppedShare = 0.15;

    /// <summary>
    /// 0.54: an interval more than half as wide as its value is no measurement; it says so instead. 0.4 refused ten more of 177 drawn ends (seeds 801-900,
    /// 70400-70519); on 180 others (72000-72179) this share leaves two that are off by more than 10 %.
    /// </summary>
    private const double MostWidth = 0.54;

    private const string HandCheck = "Count the rings by hand with a rule and a hand lens on a planed or freshly cut end.";

    public static RingStageResult Count(RectifiedSurface raster, RingFieldFit fit, RadialPath path, Measured pixelsPerMm, bool ringPorous, IReadOnlyList<BlemishFinding> blemishes)
    {
        var halfWidthMm = HalfWidthMm(raster.Plane);
        using var strip = UnrolledStrip.Unroll(raster, fit.WithWaves, path, halfWidthMm);
        // The path runs away from the pith: a softwood's boundaries go from dark latewood to light earlywood then, a ring-porous wood's the other way.
        var expected = !fit.IsCurved ? 0 : ringPorous ? -1 : 1;
        if (RingBands.From(strip) is not { } bands || BoundaryFinder.Find(bands, expected) is not { } found || found.AtPx.Length < FewestBoundaries)
            return Cannot("too few ring boundaries were found along the radius");

        var photoPxPerRing = (found.AtPx[^1] - found.AtPx[0]) / (found.AtPx.Length - 1) / raster.PitchPxPerMm * raster.Plane.PixelsPerMm;
        if (photoPxPerRing < LeastPxPerRing)
            return Cannot($"the rings are only {photoPxPerRing:0.#} pixels wide in this photo; at least {LeastPxPerRing:0} are needed: go closer");
        if (found.Agreement < LeastAgreement)
            return Cannot("parallel paths do not agree on the rings (rough, dirty or blurred end)");
        if (found.Dropped >= FewestMarks && found.Dropped > MostDroppedShare * (found.AtPx.Length + found.Dropped))
            return Cannot("marks (a stamp, pencil, dirt) or blemishes cross the rings along the path: brush or plane the end");
        var finding = Finding(bands, found, path, raster, pixelsPerMm, ringPorous, BlemishCover.Compute(raster.Plane, path, halfWidthMm, blemishes));
        return finding.PerInch.High - finding.PerInch.Low > MostWidth * finding.PerInch.Value
            ? Cannot("too many rings are in doubt (narrow rings that melt together, marks, or blemishes across them): go closer, brush or plane the end")
            : new RingStageResult(finding, null);
    }

    /// <summary>How far each ring is followed to either side: a quarter of the short side, within 2 to 10 mm.</summary>
    private static double HalfWidthMm(SurfaceFrame plane) => Math.Clamp(0.25 * Math.Min(plane.FirstSideMm, plane.SecondSideMm), 2, 10);

    private static RingFinding Finding(RingBands bands, Boundaries found, RadialPath path, RectifiedSurface raster, Measured pixelsPerMm, bool ringPorous, BlemishCover cover)
    {
        var pitch = bands.PitchPxPerMm;
        var atMm = found.AtPx.Select(x => (x + bands.FirstColumn) / pitch).ToArray();
        var count = atMm.Length - 1;
        var perInch = RingArithmetic.PerInch(atMm);
        var (startMm, endMm) = (bands.FirstColumn / pitch, (bands.FirstColumn + bands.Whole.Length - 1) / pitch);
        var worst = RingArithmetic.WorstInch(atMm, startMm, endMm);

        var uncertainty = RingUncertainty.Compute(found, bands.Whole.Length, raster.Plane.PixelsPerMm / pitch, pixelsPerMm);
        var meanMm = Units.MmPerInch / perInch;
        var whole = uncertainty.WholePath(perInch, cover.Rings(atMm[0], atMm[^1], meanMm));
        var inWindow = Math.Max(1, worst.PerInch * (worst.ToMm - worst.FromMm) / Units.MmPerInch);
        // Latewood ends at the boundary on its pith side: the sharp step tells which way the tree grew.
        var outward = found.Polarity > 0 != ringPorous;
        var widths = atMm.Zip(atMm.Skip(1), (a, b) => b - a).ToArray();
        return new RingFinding(
            count,
            whole,
            uncertainty.WorstInch(worst.PerInch, inWindow, cover.Rings(worst.FromMm, worst.ToMm, meanMm)),
            new Measured(Units.MmPerInch / whole.Value, Units.MmPerInch / whole.High, Units.MmPerInch / whole.Low),
            Latewood.Share(bands.Whole, found.AtPx, found.Polarity, ringPorous, BoundaryFinder.FineSigmaPx(pitch)),
            InOrder(Thin(path, raster, 64), outward),
            InOrder([.. atMm.Select(mm => At(path, raster, mm))], outward))
        {
            FromPithSide = found.PolaritySure ? true : null,
            WidthsMm = InOrder([.. widths.Select(w => Math.Round(w, 3))], outward),
            WorstInchPath = [.. Enumerable.Range(0, 17).Select(i => At(path, raster, worst.FromMm + (i / 16.0 * (worst.ToMm - worst.FromMm))))],
        };
    }

    private static List<T> InOrder<T>(List<T> alongPath, bool outward)
    {
        if (!outward)
            alongPath.Reverse();
        return alongPath;
    }

    private static PointPx At(RadialPath path, RectifiedSurface raster, double mm)
    {
        var x = Math.Clamp(mm / path.StepMm, 0, path.PointsMm.Length - 1);
        var i = Math.Min((int)x, path.PointsMm.Length - 2);
        var (a, b) = (path.PointsMm[i], path.PointsMm[i + 1]);
        return raster.Plane.ToPx(new Point2d(a.X + ((x - i) * (b.X - a.X)), a.Y + ((x - i) * (b.Y - a.Y))));
    }

    private static List<PointPx> Thin(RadialPath path, RectifiedSurface raster, int most)
    {
        var every = Math.Max(1, (path.PointsMm.Length - 1) / (double)(most - 1));
        var points = new List<PointPx>();
        for (var x = 0.0; x < path.PointsMm.Length - 1; x += every)
            points.Add(raster.Plane.ToPx(path.PointsMm[(int)x]));
        points.Add(raster.Plane.ToPx(path.PointsMm[^1]));
        return points;
    }

    private static RingStageResult Cannot(string why) =>
        new(null, new CannotSay(CannotSayTopic.Rings, why, HandCheck));
}
