using GrainVision.Grading.Findings;
using GrainVision.Measuring.Intake;
using GrainVision.Measuring.Section;
using OpenCvSharp;

namespace GrainVision.Measuring.Surfaces;

/// <summary>What was found on a surface.</summary>
/// <param name="Reported">Marks that a person is asked about: the verdict takes every one of them. None: the surface is clear.</param>
/// <param name="Dismissed">Taken for clear wood, dirt or a mark of the shop; likeliest blemish first.</param>
/// <param name="Decision">What that rests on.</param>
/// <param name="SideSupport">See <see cref="OutlineSupport.OfSides"/>.</param>
internal sealed record SurfaceSighting(
    IReadOnlyList<BlemishFinding> Reported, IReadOnlyList<BlemishFinding> Dismissed, SurfaceFinding Decision, IReadOnlyList<double?> SideSupport);

/// <summary>What the network and the finder see on a surface, before it is decided what it is.</summary>
/// <param name="Maps">Of each class.</param>
/// <param name="Regions">Places that may be blemishes.</param>
/// <param name="Features">Of each region.</param>
/// <param name="Rim">Of the section's frame.</param>
internal sealed record SurfaceLook(SurfaceMaps Maps, IReadOnlyList<MarkRegion> Regions, IReadOnlyList<float[]> Features, RegionRim Rim);

/// <summary>Reads an end or a face: marks with kind, size and place, and the one decision on the whole.</summary>
internal static class SurfaceStage
{
    /// <summary>20: dismissed marks that are listed; the rest are fainter still.</summary>
    internal const int MostDismissed = 20;

    /// <param name="photo">The photo.</param>
    /// <param name="plane">The section's frame.</param>
    /// <param name="view">End or face.</param>
    /// <param name="lineRad">Direction of the growth lines.</param>
    /// <param name="network">Reads the surface.</param>
    public static SurfaceLook Look(UprightPhoto photo, SurfaceFrame plane, View view, Func<Point2d, double> lineRad, SurfaceNetwork network)
    {
        using var picture = SurfacePicture.Resample(photo, plane, view);
        var maps = network.Read(picture);
        var rim = new RegionRim(maps, plane);
        var regions = RegionFinder.Find(maps, rim, MarkClasses.Blemishes);
        var colours = new RegionSurroundings(picture, maps, regions);
        var features = RegionFeatures.Of(maps, colours, regions, rim, view, lineRad, plane.PixelsPerMm);
        // Faint stains are left out only now: that the wood is full of them tells something about the other regions.
        var kept = Enumerable.Range(0, regions.Count).Where(i => !RegionFinder.IsFaintStain(regions[i])).ToList();
        return new SurfaceLook(maps, [.. kept.Select(i => regions[i])], [.. kept.Select(i => features[i])], rim);
    }

    /// <summary>Reads, names, decides and sizes.</summary>
    /// <param name="photo">The photo.</param>
    /// <param name="plane">The section's frame.</param>
    /// <param name="view">End or face.</param>
    /// <param name="lineRad">Direction of the growth lines.</param>
    /// <param name="scaleRelative">Relative standard uncertainty of the scale.</param>
    /// <param name="arris">Of each side of an end, whether a side of the piece may show beyond it; null for a face.</param>
    /// <param name="grain">A face's grey surface, to read the grain beside a knot off; null for an end.</param>
    public static SurfaceSighting Find(
        UprightPhoto photo, SurfaceFrame plane, View view, Func<Point2d, double> lineRad, double scaleRelative, IReadOnlyList<bool>? arris, RectifiedSurface? grain)
    {
        var trees = RegionTrees.Embedded(view);
        var look = Look(photo, plane, view, lineRad, SurfaceNetwork.Embedded(view));
        var named = look.Regions.Zip(trees.Classify(look.Features), (r, p) => new NamedRegion(r, p)).ToList();
        var sizer = new BlemishSizer(look.Maps, plane, scaleRelative, grain);
        var lines = view == View.End ? EdgeLines.Find(look, lineRad) : [];
        named.AddRange(lines.Select(l => new NamedRegion(l with { Class = MarkClass.Crack }, trees.Decision.JustAsked(BlemishKind.Check))));
        var asks = CrackPieces.WithAsked(named, trees.Decision);
        var reported = named.Where(asks.Contains).OrderByDescending(n => n.Region.Shape.LongestMm * n.BlemishProbability);
        var dismissed = named.Where(n => !asks.Contains(n)).OrderByDescending(n => n.BlemishProbability)
            .Select(n => sizer.Finding(n) with { HarmlessKind = HarmlessMarks.KindOf(look.Maps, n.Region) });
        IReadOnlyList<BlemishFinding> asked = [.. reported.Select(sizer.Finding)];
        return new SurfaceSighting(
            asked, [.. dismissed.Concat(HarmlessMarks.Find(look).Where(m => !lines.Any(l => l.Pixels.Contains(m.Pixels[0]))).Select(sizer.Harmless)).Take(MostDismissed)],
            new SurfaceFinding(asked.Count == 0 ? SurfaceAnswer.Clear : SurfaceAnswer.Ask, trees.Decision.AskFrom, trees.Decision.Alpha, trees.Decision.Delta),
            OutlineSupport.OfSides(look.Maps, plane, arris, photo));
    }

    /// <summary>
    /// Mask of the raster's size, 255 where a blemish lies and where the grain flows round it: half its own width to either side, two
    /// widths along the grain. The caller disposes it.
    /// </summary>
    public static Mat LeaveOut(RectifiedSurface raster, IReadOnlyList<BlemishFinding> blemishes)
    {
        var mask = new Mat(raster.Grey.Height, raster.Grey.Width, MatType.CV_8UC1, Scalar.All(0));
        foreach (var b in blemishes)
        {
            var at = raster.FromMm(new Point2d(b.AlongMm, b.AcrossMm));
            var (along, across) = ((b.LengthMm / 2) + (2 * b.WidthMm), b.WidthMm);
            Cv2.Ellipse(
                mask, new Point((int)at.X, (int)at.Y),
                new Size((int)Math.Ceiling(along * raster.PitchPxPerMm), (int)Math.Ceiling(across * raster.PitchPxPerMm)), 0, 0, 360, Scalar.All(255), -1);
        }

        return mask;
    }
}
