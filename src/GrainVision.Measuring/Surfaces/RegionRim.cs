using GrainVision.Measuring.Section;
using OpenCvSharp;

namespace GrainVision.Measuring.Surfaces;

/// <summary>Rims of regions to a quarter of a map's pixel: between pixels the probability is taken to change evenly.</summary>
internal sealed class RegionRim(SurfaceMaps maps, SurfaceFrame plane)
{
    /// <summary>4 points a pixel.</summary>
    private const int Finer = 4;

    public SurfaceFrame Plane => plane;

    /// <summary>The region of some pixels of a map with its rim at a level; null where it has none.</summary>
    public MarkRegion? Of(ushort[] map, IReadOnlyList<int> pixels, float level)
    {
        var (left, top, right, bottom) = (int.MaxValue, int.MaxValue, 0, 0);
        foreach (var i in pixels)
        {
            var (x, y) = (i % maps.Width, i / maps.Width);
            (left, right, top, bottom) = (Math.Min(left, x), Math.Max(right, x), Math.Min(top, y), Math.Max(bottom, y));
        }

        // Two pixels round it; past the map's own rim there is nothing.
        var (w, h) = (right - left + 5, bottom - top + 5);
        var patch = new float[w * h];
        foreach (var i in pixels)
        {
            var (x, y) = ((i % maps.Width) - left + 2, (i / maps.Width) - top + 2);
            for (var dy = -1; dy <= 1; dy++)
            {
                for (var dx = -1; dx <= 1; dx++)
                {
                    var (mx, my) = (x + dx + left - 2, y + dy + top - 2);
                    if (mx >= 0 && my >= 0 && mx < maps.Width && my < maps.Height)
                        patch[((y + dy) * w) + x + dx] = map[(my * maps.Width) + mx];
                }
            }
        }

        using var coarse = Mat.FromPixelData(h, w, MatType.CV_32FC1, patch);
        using var fine = new Mat();
        Cv2.Resize(coarse, fine, new Size(w * Finer, h * Finer), 0, 0, InterpolationFlags.Linear);
        using var over = new Mat();
        Cv2.Compare(fine, Scalar.All(level), over, CmpTypes.GE);
        Cv2.FindContours(over, out Point[][] contours, out _, RetrievalModes.External, ContourApproximationModes.ApproxNone);
        contours = [.. contours.Where(c => c.Length > 2)];
        if (contours.Length == 0)
            return null;
        var rim = contours.Length == 1 ? contours[0] : Cv2.ConvexHull(contours.SelectMany(c => c));
        // Of a pixel's four points the middle lies between the second and the third.
        const double middle = (Finer - 1) / 2.0;
        Point2d[] rimMm = [.. rim.Select(p => maps.ToMm(left - 2 + ((p.X - middle) / Finer), top - 2 + ((p.Y - middle) / Finer)))];
        return Make(pixels, rimMm) with { Parts = contours.Length };
    }

    /// <summary>A region with that rim, still without class and peak.</summary>
    public MarkRegion Make(IReadOnlyList<int> pixels, IReadOnlyList<Point2d> rimMm)
    {
        // The rim runs through the middles of fine pixels: half of one is missing on each side.
        var shape = BlemishShape.Of(rimMm, 1 / (Finer * maps.PitchPxPerMm));
        return new MarkRegion(default, pixels, 0, rimMm, shape, Math.Max(0, rimMm.Min(plane.InsideByMm)));
    }
}
