using GrainVision.Measuring.Section;
using OpenCvSharp;

namespace GrainVision.Measuring.Blemishes;

/// <summary>
/// Finds blemish candidates: connected places that are darker or of another colour than the growth line that they lie on,
/// darker than any latewood, or across which the grain is disturbed. Chosen to miss nothing: the classifier sorts them.
/// </summary>
internal static class CandidateFinder
{
    /// <summary>3.5 robust deviations of darkness make a place odd; a lower threshold found no more true blemishes on the training seeds.</summary>
    private const float DarkFrom = 3.5f;

    /// <summary>4 robust deviations of colour.</summary>
    private const float ColourFrom = 4;

    /// <summary>1.5 steps below the darkest latewood.</summary>
    private const float FloorFrom = 1.5f;

    /// <summary>0.6: a place reaches as far as this share of what makes it odd, or half of its own peak where that is more.</summary>
    private const float Low = 0.6f;

    /// <summary>1.4 mm: smaller marks are ignored (ANC-19 2.301 ignores single knots under 1/16 in, 1.6 mm).</summary>
    private const double LeastMm = 1.4;

    /// <summary>250: more odd places than any board has; the oddest are kept.</summary>
    private const int Most = 250;

    /// <summary>1.3 times the surface's usual line: how far a thin line reaches.</summary>
    private const float LineLow = 1.3f;

    /// <summary>1.8 times the surface's usual line: what a tenth of a thin line must exceed.</summary>
    private const float LineFrom = 1.8f;

    /// <summary>4 mm: shorter dark lines are pores and flecks.</summary>
    private const double LeastLineMm = 4;

    /// <summary>60: more thin lines than that are the wood's own; the longest and darkest are kept.</summary>
    private const int MostLines = 60;

    public static IReadOnlyList<BlemishCandidate> Find(RectifiedSurface raster, SurfaceChannels surface)
    {
        // 100 px: nothing can be said of less.
        if (surface.InnerCount < 100)
            return [];
        var odd = Oddness(surface);
        using var mask = new Mat(surface.Height, surface.Width, MatType.CV_8UC1);
        mask.SetArray([.. odd.Select(v => v > Low ? (byte)255 : (byte)0)]);
        var found = new List<BlemishCandidate>();
        foreach (var (box, rim, _) in Components(mask, new Point(0, 0)))
        {
            using var local = Fill(rim, box);
            var (peak, high) = Peak(odd, surface.Width, local, box);
            if (peak < 1)
                continue;
            var level = Math.Max(Low, 0.5f * high);
            using var core = Above(odd, surface.Width, local, box, level);
            foreach (var (coreBox, coreRim, _) in Components(core, box.Location))
            {
                using var inside = Fill(coreRim, coreBox);
                if (Peak(odd, surface.Width, inside, coreBox).Peak >= 1 && Candidate(raster, coreRim, coreBox) is { } candidate)
                    found.Add(candidate with { Oddness = peak });
            }
        }

        return [.. found.OrderByDescending(c => c.Shape.LongestMm * c.Oddness).Take(Most), .. Lines(raster, surface)];
    }

    /// <summary>Thin lines darker than the wood on both sides, whichever way they run: checks, shakes, and all that looks like them.</summary>
    private static IEnumerable<BlemishCandidate> Lines(RectifiedSurface raster, SurfaceChannels surface)
    {
        var low = LineLow * surface.UsualValley;
        using var mask = new Mat(surface.Height, surface.Width, MatType.CV_8UC1);
        mask.SetArray([.. surface.Valley.Select((v, i) => v > low && surface.Inner[i] != 0 ? (byte)255 : (byte)0)]);
        var found = new List<BlemishCandidate>();
        foreach (var (box, rim, _) in Components(mask, new Point(0, 0)))
        {
            // 4 mm: cheap look first, before anything is filled or measured.
            if (Math.Max(box.Width, box.Height) < LeastLineMm / 1.5 * raster.PitchPxPerMm || Candidate(raster, rim, box) is not { } candidate || candidate.Shape.LongestMm < LeastLineMm)
                continue;
            using var inside = Fill(rim, box);
            var high = Peak(surface.Valley, surface.Width, inside, box).High / surface.UsualValley;
            if (high >= LineFrom)
                found.Add(candidate with { Oddness = high, IsLine = true });
        }

        return found.OrderByDescending(c => c.Shape.LongestMm * c.Oddness).Take(MostLines);
    }

    /// <summary>1 where a place just becomes odd.</summary>
    private static float[] Oddness(SurfaceChannels surface)
    {
        var odd = new float[surface.Grey.Length];
        for (var i = 0; i < odd.Length; i++)
        {
            if (surface.Inner[i] != 0)
                odd[i] = Math.Max(Math.Max(surface.Darkness[i] / DarkFrom, surface.Colour[i] / ColourFrom), surface.BelowFloor[i] / FloorFrom);
        }

        return odd;
    }

    private static IEnumerable<(Rect Box, Point[] Rim, double Area)> Components(Mat mask, Point offset)
    {
        Cv2.FindContours(mask, out Point[][] contours, out _, RetrievalModes.External, ContourApproximationModes.ApproxNone, offset);
        foreach (var rim in contours)
            yield return (Cv2.BoundingRect(rim), rim, rim.Length);
    }

    private static Mat Fill(Point[] rim, Rect box)
    {
        var local = new Mat(box.Height, box.Width, MatType.CV_8UC1, Scalar.All(0));
        Cv2.FillPoly(local, [[.. rim.Select(p => new Point(p.X - box.X, p.Y - box.Y))]], Scalar.All(255));
        return local;
    }

    /// <summary>Greatest value, and the one that a tenth of the place exceeds.</summary>
    private static (float Peak, float High) Peak(float[] odd, int width, Mat local, Rect box)
    {
        local.GetArray(out byte[] inside);
        var values = new List<float>();
        for (var i = 0; i < inside.Length; i++)
        {
            if (inside[i] != 0)
                values.Add(odd[((box.Y + (i / box.Width)) * width) + box.X + (i % box.Width)]);
        }

        values.Sort();
        return values.Count == 0 ? (0, 0) : (values[^1], values[(int)(0.9 * (values.Count - 1))]);
    }

    private static Mat Above(float[] odd, int width, Mat local, Rect box, float level)
    {
        local.GetArray(out byte[] inside);
        for (var i = 0; i < inside.Length; i++)
        {
            if (odd[((box.Y + (i / box.Width)) * width) + box.X + (i % box.Width)] <= level)
                inside[i] = 0;
        }

        var above = new Mat(box.Height, box.Width, MatType.CV_8UC1);
        above.SetArray(inside);
        return above;
    }

    private static BlemishCandidate? Candidate(RectifiedSurface raster, Point[] rim, Rect box)
    {
        var rimMm = rim.Select(p => raster.ToMm(p.X, p.Y)).ToArray();
        // A contour runs through the middles of the outermost pixels: half a pixel is added on each side.
        var pad = 1 / raster.PitchPxPerMm;
        var shape = BlemishShape.Of(rimMm, pad);
        return shape.LongestMm < LeastMm ? null : new BlemishCandidate(rim, box, rimMm, shape, Math.Max(0, rimMm.Min(raster.Plane.InsideByMm))) { PadMm = pad };
    }
}
