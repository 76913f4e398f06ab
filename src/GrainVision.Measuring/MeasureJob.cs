using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Grading.Refusals;
using GrainVision.Grading.Rules;
using GrainVision.Measuring.Intake;
using GrainVision.Measuring.Uncertainty;

namespace GrainVision.Measuring;

/// <summary>Shown a measured photo before its pixels are released, to draw on it; called once a photo, with the verdict given.</summary>
/// <param name="photo">Not to be kept: the pixels go when this returns.</param>
/// <param name="measurement">What was measured on it, timings apart.</param>
public delegate void PhotoViewer(PhotoPixels photo, Measurement measurement);

/// <summary>The whole job on one photo: decode, measure, judge, and show the photo to whoever draws. The same bytes and request give the same answer, timings apart.</summary>
public static class MeasureJob
{
    /// <summary>Runs the job. A bad photo or request is a refusal, never an exception.</summary>
    /// <param name="photoBytes">The file as received.</param>
    /// <param name="request">What the caller says of it.</param>
    /// <param name="ruleBook">Book to judge by; null for no verdict.</param>
    /// <param name="limits">What the photo may cost.</param>
    /// <param name="cancel">Looked at between stages.</param>
    /// <returns>The measurement without id, picture URL and the picture in words, which belong to whoever keeps it.</returns>
    /// <exception cref="OperationCanceledException"><paramref name="cancel"/> was asked for.</exception>
    public static Outcome<Measurement> Run(
        ReadOnlyMemory<byte> photoBytes, MeasuringRequest request, RuleBook? ruleBook, IntakeLimits limits, CancellationToken cancel) =>
        Run(photoBytes, request, ruleBook, limits, null, IntervalCalibration.Embedded, cancel);

    /// <summary>The same, and <paramref name="view"/> draws the picture; its time counts as stage <c>picture</c>.</summary>
    public static Outcome<Measurement> Run(
        ReadOnlyMemory<byte> photoBytes, MeasuringRequest request, RuleBook? ruleBook, IntakeLimits limits, PhotoViewer view, CancellationToken cancel) =>
        Run(photoBytes, request, ruleBook, limits, view, IntervalCalibration.Embedded, cancel);

    /// <summary>The same under another calibration of intervals: for calibrating.</summary>
    internal static Outcome<Measurement> Run(
        ReadOnlyMemory<byte> photoBytes, MeasuringRequest request, RuleBook? ruleBook, IntakeLimits limits, PhotoViewer? view, IntervalCalibration calibration, CancellationToken cancel)
    {
        ArgumentNullException.ThrowIfNull(request);
        if (!PhotoInHand.Open(photoBytes, limits, cancel).TryGet(out var photo, out var refusal))
            return refusal;
        using (photo)
            return photo.Measure(request, ruleBook, view, calibration, cancel);
    }
}
