using GrainVision.Grading.Findings;
using GrainVision.Grading.Refusals;
using GrainVision.Grading.Rules;
using GrainVision.Measuring.Intake;
using GrainVision.Measuring.Uncertainty;

namespace GrainVision.Measuring;

/// <summary>A measurement with its annotated picture.</summary>
/// <param name="Measurement">Verdict included; without id and picture URL, which belong to whoever keeps it.</param>
/// <param name="PictureBytes">Encoded picture; no metadata of the photo goes into it.</param>
/// <param name="PictureContentType">Its media type.</param>
public sealed record MeasuredPhoto(Measurement Measurement, byte[] PictureBytes, string PictureContentType);

/// <summary>The whole job on one photo: decode, measure, judge, draw. The same bytes and request give the same answer, timings apart.</summary>
public static class MeasureJob
{
    /// <summary>Runs the job. A bad photo or request is a refusal, never an exception.</summary>
    /// <param name="photoBytes">The file as received.</param>
    /// <param name="request">What the caller says of it.</param>
    /// <param name="ruleBook">Book to judge by; null for no verdict.</param>
    /// <param name="limits">What the photo may cost.</param>
    /// <param name="cancel">Looked at between stages.</param>
    /// <exception cref="OperationCanceledException"><paramref name="cancel"/> was asked for.</exception>
    public static Outcome<MeasuredPhoto> Run(
        ReadOnlyMemory<byte> photoBytes, MeasuringRequest request, RuleBook? ruleBook, IntakeLimits limits, CancellationToken cancel) =>
        Run(photoBytes, request, ruleBook, limits, IntervalCalibration.Embedded, cancel);

    /// <summary>The same under another calibration of intervals: for calibrating.</summary>
    internal static Outcome<MeasuredPhoto> Run(
        ReadOnlyMemory<byte> photoBytes, MeasuringRequest request, RuleBook? ruleBook, IntakeLimits limits, IntervalCalibration calibration, CancellationToken cancel)
    {
        ArgumentNullException.ThrowIfNull(request);
        if (!PhotoInHand.Open(photoBytes, limits, cancel).TryGet(out var photo, out var refusal))
            return refusal;
        using (photo)
            return photo.Measure(request, ruleBook, calibration, cancel);
    }
}
