using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Measuring.Angle;
using GrainVision.Measuring.Intake;
using GrainVision.Measuring.Orientation;
using GrainVision.Measuring.Scale;
using GrainVision.Measuring.Section;
using GrainVision.Measuring.Surfaces;
using OpenCvSharp;

namespace GrainVision.DecisionFit;

/// <summary>A region with what it truly is.</summary>
/// <param name="Class">Index in <see cref="BlemishClasses"/>; <see cref="Unsure"/> where nobody knows.</param>
/// <param name="Mark">Number of the true mark that it is on; -1 for none.</param>
/// <param name="On">Numbers of all true marks that it is on: a crack in a knot is not found a second time.</param>
/// <param name="Found">What the network took it for.</param>
/// <param name="DiameterMm">As measured.</param>
/// <param name="Features">As the trees take it.</param>
internal sealed record RegionCase(int Class, int Mark, IReadOnlyList<int> On, MarkClass Found, double DiameterMm, float[] Features)
{
    public const int Unsure = -1;
}

/// <summary>A known surface after the product's own stage has looked at it; its pixels are gone.</summary>
/// <param name="Surface">The surface.</param>
/// <param name="Regions">What was found on it.</param>
internal sealed record SurfaceRow(KnownSurface Surface, IReadOnlyList<RegionCase> Regions)
{
    /// <summary>0.3: share of a region on a mark, or of a mark in a region, from which the region is that mark.</summary>
    private const double LeastShare = 0.3;

    /// <summary>0.5 mm: how far beyond its true outline a mark may be seen.</summary>
    private const double SlackMm = 0.5;

    /// <summary>Null where the product would not look for marks: an end without rings to follow.</summary>
    public static SurfaceRow? Look(KnownSurface surface, SurfaceNetwork network)
    {
        using var photo = new UprightPhoto(surface.Bgr(), "", []);
        var plane = SurfaceFrame.Create(surface.Corners, PhotoScale.Uniform(new ScaleFinding(ScaleKind.Pitch, Measured.Exact(surface.PixelsPerMm))));
        Func<Point2d, double> line = _ => 0;
        if (surface.View == View.End)
        {
            using var fine = RectifiedSurface.Resample(photo, plane, 14, 3e6);
            if (RingFieldStage.Fit(fine) is not { } fit)
                return null;
            line = p => fit.Field.NormalRad(p) + (Math.PI / 2);
        }

        var look = SurfaceStage.Look(photo, plane, surface.View, line, network);
        return new SurfaceRow(surface with { Bgr = () => throw new InvalidOperationException("Its pixels are gone.") }, Cases(look, plane, surface.Marks));
    }

    private static List<RegionCase> Cases(SurfaceLook look, SurfaceFrame plane, IReadOnlyList<TrueMark> marks)
    {
        var maps = look.Maps;
        var places = marks.Select(m => Place(maps, plane, m)).ToList();
        return [.. look.Regions.Select((r, i) =>
        {
            var (best, most, unsure, all) = (-1, 0.0, false, new List<int>());
            for (var k = 0; k < places.Count; k++)
            {
                var on = r.Pixels.Count(places[k].Contains);
                var (ofRegion, ofMark) = ((double)on / r.Pixels.Count, (double)on / Math.Max(1, places[k].Count));
                if (Math.Max(ofRegion, ofMark) < LeastShare)
                    continue;
                all.Add(k);
                if (marks[k].Kind is null)
                    unsure = true;
                else if (ofRegion + ofMark > most)
                    (best, most) = (k, ofRegion + ofMark);
            }

            var label = best >= 0 ? BlemishClasses.IndexOf(marks[best].Kind) : unsure ? RegionCase.Unsure : BlemishClasses.None;
            return new RegionCase(label, best, all, r.Class, r.Shape.DiameterMm, look.Features[i]);
        })];
    }

    private static HashSet<int> Place(SurfaceMaps maps, SurfaceFrame plane, TrueMark mark)
    {
        using var mask = new Mat(maps.Height, maps.Width, MatType.CV_8UC1, Scalar.All(0));
        Point[] outline = [.. mark.Outline.Select(p => maps.FromMm(plane.ToMm(p))).Select(p => new Point((int)Math.Round(p.X), (int)Math.Round(p.Y)))];
        Cv2.FillPoly(mask, [outline], Scalar.All(255));
        Cv2.Polylines(mask, [outline], true, Scalar.All(255), 1 + (2 * (int)Math.Round(SlackMm * maps.PitchPxPerMm)));
        mask.GetArray(out byte[] values);
        return [.. Enumerable.Range(0, values.Length).Where(i => values[i] != 0)];
    }
}
