using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;

namespace GrainVision.Synthesis;

/// <summary>Which blemish truly lies where a picture shows a mark.</summary>
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

    private static (double Left, double Top, double Right, double Bottom) Box(IReadOnlyList<PointPx> outline) =>
        (outline.Min(p => p.X), outline.Min(p => p.Y), outline.Max(p => p.X), outline.Max(p => p.Y));

    private static bool Meet((double Left, double Top, double Right, double Bottom) a, (double Left, double Top, double Right, double Bottom) b, double near) =>
        a.Left - near <= b.Right && b.Left - near <= a.Right && a.Top - near <= b.Bottom && b.Top - near <= a.Bottom;
}
