using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Grading.Refusals;
using GrainVision.Measuring.Intake;
using GrainVision.Measuring.Scale;

namespace GrainVision.Measuring.Section;

/// <summary>The piece's surface where it lies in the photo.</summary>
/// <param name="Outline">Its outline, px.</param>
/// <param name="Frame">Its own frame, mm.</param>
/// <param name="Scale">The photo's scale, as it is at the middle of the piece.</param>
internal sealed record SectionInPhoto(PieceOutline Outline, SurfaceFrame Frame, PhotoScale Scale);

/// <summary>Finds the piece, and the scale where it lies.</summary>
internal static class SectionStage
{
    /// <param name="photo">Only read.</param>
    /// <param name="view">Which kind of surface it shows.</param>
    /// <param name="given">The outline as the caller gave it; null: found in the photo.</param>
    /// <param name="source">What gives the scale.</param>
    public static Outcome<SectionInPhoto> Find(UprightPhoto photo, View view, IReadOnlyList<PointPx>? given, ScaleSource source)
    {
        if (!SectionFinder.Find(photo, view, given, source.ExclusionMask).TryGet(out var outline, out var refusal))
            return refusal;
        if (!source.Scale(outline.Corners, outline.Whole, photo).TryGet(out var scale, out refusal))
            return refusal;
        scale = scale.Near(new PointPx(outline.Corners.Average(c => c.X), outline.Corners.Average(c => c.Y)));
        var frame = SurfaceFrame.Create(outline.Corners, scale);
        if (SectionLimits.Check(frame) is { } absurd)
            return absurd;
        return scale.At(frame.ToPx(frame.MiddleMm), frame.PixelsPerMm).TryGet(out var here, out refusal)
            ? new SectionInPhoto(outline, frame, here)
            : refusal;
    }
}
