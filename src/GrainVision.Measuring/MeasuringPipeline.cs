using GrainVision.Grading.Findings;
using GrainVision.Grading.Refusals;
using GrainVision.Measuring.Intake;
using GrainVision.Measuring.Scale.Card;
using GrainVision.Measuring.Section;

namespace GrainVision.Measuring;

/// <summary>Photo to findings, stage by stage. Each stage takes the typed result of the ones before it; the first refusal ends the run.</summary>
internal static class MeasuringPipeline
{
    /// <param name="photo">Only read.</param>
    /// <param name="cards">The photo's cards, where they were looked for already; null: looked for where the scale needs them.</param>
    /// <param name="request">What the caller says of it.</param>
    /// <param name="clock">Times the stages.</param>
    public static Outcome<Measurement> Run(UprightPhoto photo, CardSearch? cards, MeasuringRequest request, StageClock clock)
    {
        if (RequestLimits.Check(request) is { } absurd)
            return absurd;
        if (!clock.Run("scale", () => ScaleStage.Seek(photo, request.Scale, request.ScaleBelowMm, cards, clock.Cancel)).TryGet(out var source, out var refusal))
            return refusal;
        if (!clock.Run("section", () => SectionStage.Find(photo, request.View, request.Outline, source)).TryGet(out var piece, out refusal))
            return refusal;
        if (!CheckTargetStage.Find(photo, request, piece.Scale, clock.Cancel).TryGet(out var sheet, out refusal))
            return refusal;

        var basis = Basis(photo, request, piece);
        var findings = request.View == View.Face
            ? FaceMeasuring.Run(photo, basis, piece.Outline, piece.Frame, request.RingAngleDegrees, clock)
            : EndMeasuring.Run(photo, basis, piece.Outline, piece.Frame, clock);
        return CheckTargetStage.Compare(findings, sheet, piece.Frame, request.CheckTarget?.CheckLineMm);
    }

    /// <summary>What is known before the wood itself is looked at.</summary>
    private static Measurement Basis(UprightPhoto photo, MeasuringRequest request, SectionInPhoto piece) => new()
    {
        View = request.View,
        Species = request.Species,
        Photo = new PhotoFinding(photo.Sha256, photo.Width, photo.Height),
        PipelineVersion = PipelineVersion.Current,
        Scale = piece.Scale.Finding,
        Outline = piece.Outline.Corners,
        Size = SectionLimits.Size(piece.Frame, piece.Outline, piece.Scale, photo),
        Warnings = [.. photo.Warnings, .. piece.Scale.Warnings, .. piece.Outline.Warnings, .. CardView.Warnings(piece.Scale.Finding.Card, request.View)],
    };
}
