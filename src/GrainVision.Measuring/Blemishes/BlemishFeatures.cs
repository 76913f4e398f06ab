using GrainVision.Grading.Findings;
using OpenCvSharp;

namespace GrainVision.Measuring.Blemishes;

/// <summary>
/// What a candidate looks like, in numbers that mean the same in every photo: shape in mm, contrast against the surface's own clear
/// wood, rim, grain round it, light and shade, and what else lies near.
/// </summary>
internal static class BlemishFeatures
{
    /// <summary>Names of what is said of one candidate, whatever the others are.</summary>
    public static IReadOnlyList<string> OwnNames { get; } =
    [
        .. ShapeFeatures.Names, .. ContrastFeatures.Names, .. GrainFeatures.Names, .. LineFeatures.Names,
        "near-count", "near-distance", "edge-distance", "odd-share", "view-end", "pitch", "surface-deviation", "surface-coherence",
    ];

    /// <summary>Names in the order of the vector; the model is trained on this order and refuses another.</summary>
    public static IReadOnlyList<string> Names { get; } = [.. OwnNames, .. ContextFeatures.Names];

    /// <summary>30 mm: candidates this close may belong together, as the letters of a stamp or pin knots do.</summary>
    private const double NearMm = 30;

    /// <summary>One row of <see cref="Names"/> for each candidate.</summary>
    public static IReadOnlyList<float[]> Of(SurfaceChannels surface, IReadOnlyList<BlemishCandidate> candidates, View view)
    {
        var middles = candidates.Select(c => c.MiddleMm).ToArray();
        var oddShare = candidates.Sum(c => (double)c.BoxPx.Width * c.BoxPx.Height) / surface.InnerCount;
        var coherence = GrainFeatures.Coherence(surface);
        var rows = new List<float[]>(candidates.Count);
        for (var i = 0; i < candidates.Count; i++)
        {
            var c = candidates[i];
            var patch = Patch.Of(surface, c);
            var (near, nearest) = (0, NearMm);
            for (var k = 0; k < middles.Length; k++)
            {
                var apart = middles[k].DistanceTo(middles[i]);
                if (k == i || apart >= NearMm)
                    continue;
                near++;
                nearest = Math.Min(nearest, apart);
            }

            float[] row =
            [
                .. ShapeFeatures.Of(c, patch), .. ContrastFeatures.Of(surface, patch), .. GrainFeatures.Of(surface, patch, coherence), .. LineFeatures.Of(surface, c, patch),
                near, (float)nearest, (float)Math.Min(20, c.InsideMm), (float)Math.Min(1, oddShare), view == View.End ? 1 : 0,
                (float)surface.Grid.PitchPxPerMm, surface.DarknessDeviation, coherence,
            ];
            rows.Add([.. row.Select(v => float.IsFinite(v) ? v : 0)]);
        }

        return ContextFeatures.Append(rows);
    }
}

/// <summary>A candidate's pixels: inside, on the rim, and round it.</summary>
/// <param name="Window">Part of the surface that holds the candidate and its surroundings.</param>
/// <param name="Zone">Of each pixel of the window: 0 far, 1 inside, 2 inner rim, 3 outer rim, 4 close round it.</param>
/// <param name="MiddlePx">Middle of the candidate.</param>
/// <param name="HalfAlong">Half extent along the grain, px.</param>
/// <param name="HalfAcross">Half extent across the grain, px.</param>
/// <param name="Cos">Direction of the grain there, cosine.</param>
/// <param name="Sin">Direction of the grain there, sine.</param>
internal sealed record Patch(Rect Window, byte[] Zone, Point2d MiddlePx, double HalfAlong, double HalfAcross, double Cos, double Sin)
{
    public const byte Inside = 1;
    public const byte InnerRim = 2;
    public const byte OuterRim = 3;
    public const byte Round = 4;

    /// <summary>3 mm: how far round a candidate the grain is looked at, or its own half width where that is more, up to 8 mm.</summary>
    private const double RoundMm = 3;

    /// <summary>Index into the surface's channels of the window's pixel.</summary>
    public int At(int i, int surfaceWidth) => ((Window.Y + (i / Window.Width)) * surfaceWidth) + Window.X + (i % Window.Width);

    /// <summary>Position of the window's pixel against the candidate's middle, px of the surface.</summary>
    public (double X, double Y) From(int i) => (Window.X + (i % Window.Width) - MiddlePx.X, Window.Y + (i / Window.Width) - MiddlePx.Y);

    public static Patch Of(SurfaceChannels surface, BlemishCandidate candidate)
    {
        var pitch = surface.Grid.PitchPxPerMm;
        var round = (int)Math.Ceiling(Math.Clamp(candidate.Shape.DiameterMm / 2, RoundMm, 8) * pitch);
        var box = candidate.BoxPx;
        var window = new Rect(box.X - round - 2, box.Y - round - 2, box.Width + (2 * round) + 4, box.Height + (2 * round) + 4)
            .Intersect(new Rect(0, 0, surface.Width, surface.Height));
        using var own = new Mat(window.Height, window.Width, MatType.CV_8UC1, Scalar.All(0));
        Cv2.FillPoly(own, [[.. candidate.RimPx.Select(p => new Point(p.X - window.X, p.Y - window.Y))]], Scalar.All(255));
        using var framed = new Mat();
        Cv2.CopyMakeBorder(own, framed, 1, 1, 1, 1, BorderTypes.Replicate);
        using var inward = new Mat();
        Cv2.DistanceTransform(framed, inward, DistanceTypes.L2, DistanceTransformMasks.Mask3);
        using var inverse = new Mat();
        Cv2.BitwiseNot(framed, inverse);
        using var outward = new Mat();
        Cv2.DistanceTransform(inverse, outward, DistanceTypes.L2, DistanceTransformMasks.Mask3);
        inward.GetArray(out float[] inside);
        outward.GetArray(out float[] outside);

        var zone = new byte[window.Width * window.Height];
        for (var i = 0; i < zone.Length; i++)
        {
            var k = (((i / window.Width) + 1) * (window.Width + 2)) + (i % window.Width) + 1;
            zone[i] = inside[k] > 1.5f ? Inside : inside[k] > 0 ? InnerRim : outside[k] <= 1.5f ? OuterRim : outside[k] <= round ? Round : (byte)0;
        }

        var middle = new Point2d(box.X + ((box.Width - 1) / 2.0), box.Y + ((box.Height - 1) / 2.0));
        var at = (Math.Clamp((int)middle.Y, 0, surface.Height - 1) * surface.Width) + Math.Clamp((int)middle.X, 0, surface.Width - 1);
        var (cos, sin) = (surface.LineCos[at], surface.LineSin[at]);
        double along = 0, across = 0;
        foreach (var p in candidate.RimPx)
        {
            along = Math.Max(along, Math.Abs(((p.X - middle.X) * cos) + ((p.Y - middle.Y) * sin)));
            across = Math.Max(across, Math.Abs(((p.Y - middle.Y) * cos) - ((p.X - middle.X) * sin)));
        }

        return new Patch(window, zone, middle, along + 0.5, across + 0.5, cos, sin);
    }
}
