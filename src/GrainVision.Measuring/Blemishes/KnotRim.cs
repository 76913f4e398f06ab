using GrainVision.Measuring.Section;
using OpenCvSharp;

namespace GrainVision.Measuring.Blemishes;

/// <summary>
/// Rim of the knot proper, without the darker, disturbed grain round it (ANC-19 2.4201): of all lines of equal grey round the candidate's core the
/// one across which the grey changes most steeply. Round a knot the wood grows lighter slowly; at its own rim it does so at once.
/// </summary>
/// <param name="Shape">Extents.</param>
/// <param name="RimMm">Its rim in the section's metric frame.</param>
/// <param name="InsideMm">Distance from its rim to the nearest side of the section.</param>
/// <param name="LeastMm">Least diameter of the lines that are nearly as steep.</param>
/// <param name="GreatestMm">Greatest diameter of those.</param>
internal sealed record KnotRim(BlemishShape Shape, IReadOnlyList<Point2d> RimMm, double InsideMm, double LeastMm, double GreatestMm)
{
    /// <summary>0.2 mm: smoothing, less than the width of any knot's rim.</summary>
    private const double SigmaMm = 0.2;

    /// <summary>0.7 mm: smoothing that tells where the core is; less than a pin knot.</summary>
    private const double CoreMm = 0.7;

    /// <summary>1 mm: how far outside the candidate its rim may lie; most candidates hold their knot and more.</summary>
    private const double GrowMm = 1;

    /// <summary>0.5: what is narrower than half of the knot hangs on it and is not part of it.</summary>
    private const double OpenShare = 0.5;

    /// <summary>6 grey levels: less contrast between core and clear wood shows no rim.</summary>
    private const float LeastContrast = 6;

    /// <summary>0.4: power of the diameter that steepness is weighed with. Without it one knot in ten is told as its own pith or crack; with more, the grain round it is told (97 drawn knots of seeds 110000 to 110180).</summary>
    private const double SizePower = 0.4;

    /// <summary>20 levels from the core's grey to the clear wood's.</summary>
    private const int Levels = 20;

    /// <summary>0.75: share of the greatest steepness from which on a line may be the rim just as well.</summary>
    private const double NearlyAsSteep = 0.75;

    /// <summary>The rim; null where none shows.</summary>
    /// <param name="surface">Greys, and those of clear wood on the same growth lines.</param>
    /// <param name="raster">The surface.</param>
    /// <param name="candidate">The place, rim and all.</param>
    public static KnotRim? Of(SurfaceChannels surface, RectifiedSurface raster, BlemishCandidate candidate)
    {
        var pitch = raster.PitchPxPerMm;
        var grow = (int)Math.Ceiling(GrowMm * pitch);
        var box = candidate.BoxPx;
        var window = new Rect(box.X - grow - 1, box.Y - grow - 1, box.Width + (2 * grow) + 2, box.Height + (2 * grow) + 2).Intersect(new Rect(0, 0, surface.Width, surface.Height));
        using var dark = Darkness(surface, window, Math.Max(0.6, SigmaMm * pitch));
        using var steep = Steepness(dark);
        using var own = new Mat(window.Height, window.Width, MatType.CV_8UC1, Scalar.All(0));
        Cv2.FillPoly(own, [[.. candidate.RimPx.Select(p => new Point(p.X - window.X, p.Y - window.Y))]], Scalar.All(255));
        using var core = new Mat();
        Cv2.GaussianBlur(dark, core, new Size(0, 0), Math.Max(0.8, CoreMm * pitch));
        Cv2.MinMaxLoc(core, out _, out var peak, out _, out var middle, own);
        if (peak < LeastContrast)
            return null;
        using var disc = Cv2.GetStructuringElement(MorphShapes.Ellipse, new Size((2 * grow) + 1, (2 * grow) + 1));
        Cv2.Dilate(own, own, disc);
        var lines = new List<(Point[] Line, double Steepness)>();
        for (var k = 0; k < Levels; k++)
        {
            if (Line(dark, own, middle, peak * (0.08 + (0.8 * k / (Levels - 1)))) is { } line)
                lines.Add((line, MeanAlong(steep, line)));
        }

        return lines.Count == 0 ? null : Best(raster, window, lines);
    }

    /// <summary>How much darker than clear wood on the same growth line: ring lines are gone, the knot and what surrounds it are left.</summary>
    private static Mat Darkness(SurfaceChannels surface, Rect window, double sigmaPx)
    {
        var values = new float[window.Width * window.Height];
        for (var i = 0; i < values.Length; i++)
        {
            var k = ((window.Y + (i / window.Width)) * surface.Width) + window.X + (i % window.Width);
            values[i] = surface.Grid.Inside[k] == 0 ? 0 : surface.Background[k] - surface.Grey[k];
        }

        using var mat = Mat.FromPixelData(window.Height, window.Width, MatType.CV_32FC1, values);
        var smooth = new Mat();
        Cv2.GaussianBlur(mat, smooth, new Size(0, 0), sigmaPx);
        return smooth;
    }

    private static KnotRim Best(RectifiedSurface raster, Rect window, List<(Point[] Line, double Steepness)> lines)
    {
        var shapes = lines.ConvertAll(l =>
        {
            var rim = Array.ConvertAll(l.Line, p => raster.ToMm(p.X + window.X, p.Y + window.Y));
            return (Rim: rim, Shape: BlemishShape.Of(rim), l.Steepness);
        });
        // A knot's own rings and cracks are steep too, but small: a line twice as wide may be less steep by a quarter. No half pixel is added: the steepest pixel is the rim.
        double Worth((Point2d[] Rim, BlemishShape Shape, double Steepness) l) => l.Steepness * Math.Pow(Math.Max(0.3, l.Shape.DiameterMm), SizePower);
        var best = shapes.MaxBy(Worth);
        var near = shapes.Where(s => Worth(s) >= NearlyAsSteep * Worth(best)).Select(s => s.Shape.DiameterMm).ToList();
        return new KnotRim(best.Shape, best.Rim, Math.Max(0, best.Rim.Min(raster.Plane.InsideByMm)), near.Min(), near.Max());
    }

    private static Mat Steepness(Mat grey)
    {
        using var gu = new Mat();
        using var gv = new Mat();
        Cv2.Scharr(grey, gu, MatType.CV_32F, 1, 0, 1 / 32.0);
        Cv2.Scharr(grey, gv, MatType.CV_32F, 0, 1, 1 / 32.0);
        var steep = new Mat();
        Cv2.Magnitude(gu, gv, steep);
        return steep;
    }

    /// <summary>The closed line of that darkness round the core, without what hangs on it by less than half of its own width: ring lines, checks.</summary>
    private static Point[]? Line(Mat dark, Mat own, Point core, double level)
    {
        using var darker = new Mat();
        Cv2.Compare(dark, Scalar.All(level), darker, CmpTypes.GT);
        Cv2.BitwiseAnd(darker, own, darker);
        if (Around(darker, core) is not { } whole)
            return null;
        using var body = new Mat(dark.Height, dark.Width, MatType.CV_8UC1, Scalar.All(0));
        Cv2.FillPoly(body, [whole], Scalar.All(255));
        using var framed = new Mat();
        Cv2.CopyMakeBorder(body, framed, 1, 1, 1, 1, BorderTypes.Constant, Scalar.All(0));
        using var inward = new Mat();
        Cv2.DistanceTransform(framed, inward, DistanceTypes.L2, DistanceTransformMasks.Mask5);
        Cv2.MinMaxLoc(inward, out _, out var radius, out _, out var widest);
        var size = (2 * (int)Math.Floor(OpenShare * radius)) + 1;
        if (size < 3)
            return whole;
        using var disc = Cv2.GetStructuringElement(MorphShapes.Ellipse, new Size(size, size));
        Cv2.MorphologyEx(body, body, MorphTypes.Open, disc, borderType: BorderTypes.Constant, borderValue: Scalar.All(0));
        return Around(body, new Point(widest.X - 1, widest.Y - 1));
    }

    /// <summary>The outer line of the connected place that holds a pixel.</summary>
    private static Point[]? Around(Mat mask, Point at)
    {
        Cv2.FindContours(mask, out Point[][] contours, out _, RetrievalModes.External, ContourApproximationModes.ApproxNone);
        return Array.Find(contours, c => c.Length > 3 && Cv2.PointPolygonTest(c, at, false) >= 0);
    }

    private static double MeanAlong(Mat steep, Point[] line)
    {
        var sum = 0.0;
        foreach (var p in line)
            sum += steep.At<float>(p.Y, p.X);
        return sum / line.Length;
    }
}
