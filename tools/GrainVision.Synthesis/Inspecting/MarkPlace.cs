using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;

namespace GrainVision.Synthesis;

/// <summary>What a picture shows, held against what truly lies there.</summary>
public static class MarkPlace
{
    /// <summary>
    /// The nearest blemish whose box, grown by what a person looks round a mark, meets the mark's; null where there is none, and the mark is none.
    /// </summary>
    public static BlemishTruth? Find(BlemishFinding shown, PhotoTruth truth, double nearMm)
    {
        ArgumentNullException.ThrowIfNull(shown);
        ArgumentNullException.ThrowIfNull(truth);
        var near = nearMm * truth.Scale.PixelsPerMm;
        var mark = Box(shown.Outline.Count > 0 ? shown.Outline : [shown.Centre]);
        return truth.Blemishes.Where(b => b.Outline.Count > 0 && Meet(mark, Box(b.Outline), near))
            .MinBy(b => Math.Pow(b.Centre.X - shown.Centre.X, 2) + Math.Pow(b.Centre.Y - shown.Centre.Y, 2));
    }

    /// <summary>1.5 mm: so far from the edge a person sees that a line of the picture does not run along it.</summary>
    private const double SeenOffMm = 1.5;

    /// <summary>
    /// True where every picture's outline runs along the wood's edges: each of its corners lies on a long side of the true one, and, of a surface that the photo
    /// shows whole, at a corner.
    /// </summary>
    public static bool OutlinesRight(IReadOnlyList<PictureInHand> pictures)
    {
        ArgumentNullException.ThrowIfNull(pictures);
        return pictures.Count > 0 && pictures.All(p => p.Measurement.Outline.Count == 4 && p.Measurement.Outline.All(c => OnEdge(c, p.Photo.Truth)));
    }

    private static bool OnEdge(PointPx corner, PhotoTruth truth)
    {
        var tolerance = SeenOffMm * truth.Scale.PixelsPerMm;
        var o = truth.Outline;
        return truth.OutlineCutByPhoto
            ? Math.Min(FromLine(corner, o[0], o[1]), FromLine(corner, o[2], o[3])) <= tolerance
            : o.Min(t => Math.Sqrt(Math.Pow(t.X - corner.X, 2) + Math.Pow(t.Y - corner.Y, 2))) <= tolerance * Math.Sqrt(2);
    }

    private static double FromLine(PointPx p, PointPx a, PointPx b) =>
        Math.Abs(((b.X - a.X) * (p.Y - a.Y)) - ((b.Y - a.Y) * (p.X - a.X))) / Math.Sqrt(Math.Pow(b.X - a.X, 2) + Math.Pow(b.Y - a.Y, 2));

    private static (double Left, double Top, double Right, double Bottom) Box(IReadOnlyList<PointPx> outline) =>
        (outline.Min(p => p.X), outline.Min(p => p.Y), outline.Max(p => p.X), outline.Max(p => p.Y));

    private static bool Meet((double Left, double Top, double Right, double Bottom) a, (double Left, double Top, double Right, double Bottom) b, double near) =>
        a.Left - near <= b.Right && b.Left - near <= a.Right && a.Top - near <= b.Bottom && b.Top - near <= a.Bottom;
}
