using GrainVision.Measuring.Section;
using OpenCvSharp;

namespace GrainVision.Measuring.Blemishes;

/// <summary>Finds blemish candidates: connected places that are much darker than the growth line that they lie on.</summary>
internal static class CandidateFinder
{
    /// <summary>4.5: robust deviations of darkness from which a place is odd; on clear wood one pixel in 300,000 by chance.</summary>
    private const double OddFrom = 4.5;

    /// <summary>9 grey levels: below that the eye sees nothing either, however even the wood.</summary>
    private const double LeastGrey = 9;

    /// <summary>2 mm: smaller compact marks are ignored (ANC-19 2.301 ignores single knots under 1/16 in, 1.6 mm).</summary>
    private const double LeastMm = 2;

    public static IReadOnlyList<BlemishCandidate> Find(SectionRaster raster, Mat darkness)
    {
        var pitch = raster.PitchPxPerMm;
        using var smooth = new Mat();
        Cv2.GaussianBlur(darkness, smooth, new Size(0, 0), Math.Max(0.8, 0.5 * pitch));
        using var inner = new Mat();
        using var kernel = Cv2.GetStructuringElement(MorphShapes.Rect, new Size((2 * (int)Math.Ceiling(pitch)) + 1, (2 * (int)Math.Ceiling(pitch)) + 1));
        Cv2.Erode(raster.Mask, inner, kernel, borderType: BorderTypes.Constant, borderValue: Scalar.All(0));
        smooth.GetArray(out float[] values);
        inner.GetArray(out byte[] inside);
        var some = values.Where((_, i) => inside[i] != 0).Order().ToArray();
        if (some.Length < 100)
            return [];
        var middle = some[some.Length / 2];
        // The lower half only: the dark tail is what is looked for.
        var deviation = Math.Max(0.5, 1.4826 * (middle - some[some.Length / 4]));
        var threshold = Math.Max(LeastGrey, OddFrom * deviation);

        using var odd = new Mat();
        Cv2.Threshold(smooth, odd, middle + threshold, 255, ThresholdTypes.Binary);
        using var mask = new Mat();
        odd.ConvertTo(mask, MatType.CV_8UC1);
        Cv2.BitwiseAnd(mask, inner, mask);
        Cv2.FindContours(mask, out Point[][] contours, out _, RetrievalModes.External, ContourApproximationModes.ApproxNone);
        var found = new List<BlemishCandidate>();
        foreach (var rim in contours)
        {
            if (Candidate(raster, smooth, rim, middle, deviation) is { } candidate)
                found.Add(candidate);
        }

        return [.. found.OrderByDescending(c => c.Shape.LongestMm * c.Darkness).Take(60)];
    }

    private static BlemishCandidate? Candidate(SectionRaster raster, Mat smooth, Point[] rim, double middle, double deviation)
    {
        var rimMm = rim.Select(p => raster.ToMm(p.X, p.Y)).ToArray();
        var shape = BlemishShape.Of(rimMm);
        if (shape.LongestMm < LeastMm || (shape.DiameterMm < LeastMm && shape.LongestMm < 3 * LeastMm))
            return null;
        var hull = Cv2.ConvexHull(rim);
        var fill = Cv2.ContourArea(rim) / Math.Max(1, Cv2.ContourArea(hull));
        var box = Cv2.BoundingRect(rim);
        using var local = new Mat(box.Height, box.Width, MatType.CV_8UC1, Scalar.All(0));
        Cv2.FillPoly(local, [[.. rim.Select(p => new Point(p.X - box.X, p.Y - box.Y))]], Scalar.All(255));
        using var values = new Mat(smooth, box);
        var mean = Cv2.Mean(values, local).Val0;
        var direction = rimMm.SelectMany(a => rimMm.Where((_, i) => i % 7 == 0).Select(b => (a, b))).MaxBy(p => p.a.DistanceTo(p.b));
        var angle = Math.Atan2(direction.b.Y - direction.a.Y, direction.b.X - direction.a.X);
        return new BlemishCandidate(rimMm, shape, (mean - middle) / deviation, fill, angle, Math.Max(0, rimMm.Min(raster.Plane.InsideByMm)));
    }
}
