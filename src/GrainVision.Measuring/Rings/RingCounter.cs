using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Measuring.Intake;
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

    /// <summary>0.55: below this mean chance of its boundaries the "rings" are guesses.</summary>
    private const double LeastAgreement = 0.55;

    /// <summary>0.05 mm: the rings counted lie at least so far inside the outline.</summary>
    private const double InsetMm = 0.05;

    /// <summary>3 mm: the strip runs on beyond the outline, as those that the network was taught do, so that it sees where the wood ends.</summary>
    private const double BeyondMm = 3;

    /// <summary>
    /// 0.2: an interval wider than this share of its value is no measurement; it says so instead. Of 77 drawn ends it refuses six, three of them off by 7 to 16 %, and leaves
    /// none off by more than 4 %.
    /// </summary>
    private const double MostWidth = 0.2;

    /// <summary>0.6 columns (0.04 mm): blur of the profile.</summary>
    private const double BlurColumns = 0.6;

    private const string HandCheck = "Count the rings by hand with a rule and a hand lens on a planed or freshly cut end.";

    public static RingStageResult Count(
        UprightPhoto photo, RectifiedSurface raster, RingFieldFit fit, Measured pixelsPerMm, bool ringPorous, IReadOnlyList<BlemishFinding> blemishes)
    {
        var plane = raster.Plane;
        var whole = RadialPath.Follow(fit.WithWaves, plane, plane.MiddleMm, 1 / RingNetwork.ColumnsPerMm, -BeyondMm);
        var path = InPhoto(whole, plane, photo);
        var halfWidthMm = HalfWidthMm(plane);
        using var strip = UnrolledStrip.Unroll(raster, fit.WithWaves, path, halfWidthMm);
        if (RingReader.Read(scale => StripColours.Sample(photo, raster, strip, scale), strip.Inside, strip.CentreRow) is not { } reading)
            return Cannot("too few ring boundaries were found along the radius");
        var first = Array.FindIndex(path.PointsMm, p => plane.InsideByMm(p) >= InsetMm);
        var last = Array.FindLastIndex(path.PointsMm, p => plane.InsideByMm(p) >= InsetMm);
        var cover = BlemishCover.Compute(plane, path, halfWidthMm, blemishes);
        var rings = RingsOnPath.From(reading, path.StepMm, first, last, cover.At, plane.PixelsPerMm);
        if (rings.Boundaries.Count < FewestBoundaries)
            return Cannot("too few ring boundaries were found along the radius");

        var photoPxPerRing = rings.MeanWidthMm * plane.PixelsPerMm;
        if (photoPxPerRing < LeastPxPerRing)
            return Cannot($"the rings are only {photoPxPerRing:0.#} pixels wide in this photo; at least {LeastPxPerRing:0} are needed: go closer");
        if (rings.Agreement < LeastAgreement)
            return Cannot("parallel paths do not agree on the rings (rough, dirty or blurred end)");
        // The path runs away from the pith: a softwood's boundaries go from dark latewood to light earlywood then, a ring-porous wood's the other way.
        var expected = !fit.IsCurved ? 0 : ringPorous ? -1 : 1;
        var finding = Finding(rings, path, plane, StripProfile.Along(strip), pixelsPerMm, ringPorous, expected);
        return finding.PerInch.High - finding.PerInch.Low > MostWidth * finding.PerInch.Value
            ? Cannot("too many rings are in doubt (narrow rings that melt together, marks, or blemishes across them): go closer, brush or plane the end")
            : new RingStageResult(finding, null);
    }

    /// <summary>How far each ring is followed to either side: a quarter of the short side, within 2 to 10 mm.</summary>
    private static double HalfWidthMm(SurfaceFrame plane) => Math.Clamp(0.25 * Math.Min(plane.FirstSideMm, plane.SecondSideMm), 2, 10);

    /// <summary>The part of the path that the photo shows.</summary>
    private static RadialPath InPhoto(RadialPath path, SurfaceFrame plane, UprightPhoto photo)
    {
        bool Shown(Point2d mm) => plane.ToPx(mm) is var p && p.X >= 0 && p.Y >= 0 && p.X <= photo.Width - 1 && p.Y <= photo.Height - 1;
        var (from, to) = (Array.FindIndex(path.PointsMm, Shown), Array.FindLastIndex(path.PointsMm, Shown) + 1);
        return new RadialPath(path.PointsMm[from..to], path.TangentRad[from..to], path.StepMm);
    }

    private static RingFinding Finding(RingsOnPath rings, RadialPath path, SurfaceFrame plane, double[] profile, Measured pixelsPerMm, bool ringPorous, int expected)
    {
        double[] atMm = [.. rings.Boundaries.Select(b => b.At)];
        double[] columns = [.. atMm.Select(mm => mm / path.StepMm)];
        var (polarity, sure) = StripProfile.Polarity(profile, columns, expected);
        var worst = RingArithmetic.WorstInch(atMm, rings.StartMm, rings.EndMm);
        var uncertainty = RingUncertainty.Compute(rings, pixelsPerMm);
        var perInch = uncertainty.WholePath(RingArithmetic.PerInch(atMm));
        // Latewood ends at the boundary on its pith side: the sharp step tells which way the tree grew.
        var outward = polarity > 0 != ringPorous;
        return new RingFinding(
            atMm.Length - 1,
            perInch,
            uncertainty.WorstInch(worst),
            new Measured(Units.MmPerInch / perInch.Value, Units.MmPerInch / perInch.High, Units.MmPerInch / perInch.Low),
            Latewood.Share(profile, columns, polarity, ringPorous, BlurColumns),
            InOrder(Thin(path, plane, rings, 64), outward),
            InOrder([.. atMm.Select(mm => At(path, plane, mm))], outward))
        {
            FromPithSide = sure ? true : null,
            WidthsMm = InOrder([.. rings.WidthsMm.Select(w => Math.Round(w, 3))], outward),
            WorstInchPath = [.. Enumerable.Range(0, 17).Select(i => At(path, plane, worst.FromMm + (i / 16.0 * (worst.ToMm - worst.FromMm))))],
        };
    }

    private static List<T> InOrder<T>(List<T> alongPath, bool outward)
    {
        if (!outward)
            alongPath.Reverse();
        return alongPath;
    }

    private static PointPx At(RadialPath path, SurfaceFrame plane, double mm)
    {
        var x = Math.Clamp(mm / path.StepMm, 0, path.PointsMm.Length - 1);
        var i = Math.Min((int)x, path.PointsMm.Length - 2);
        var (a, b) = (path.PointsMm[i], path.PointsMm[i + 1]);
        return plane.ToPx(new Point2d(a.X + ((x - i) * (b.X - a.X)), a.Y + ((x - i) * (b.Y - a.Y))));
    }

    private static List<PointPx> Thin(RadialPath path, SurfaceFrame plane, RingsOnPath rings, int points) =>
        [.. Enumerable.Range(0, points).Select(i => At(path, plane, rings.StartMm + (i / (points - 1.0) * (rings.EndMm - rings.StartMm))))];

    private static RingStageResult Cannot(string why) =>
        new(null, new CannotSay(CannotSayTopic.Rings, why, HandCheck));
}
