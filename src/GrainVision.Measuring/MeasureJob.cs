using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Grading.Refusals;
using GrainVision.Grading.Rules;
using GrainVision.Grading.Verdicts;
using GrainVision.Measuring.Intake;
using GrainVision.Measuring.Uncertainty;
using OpenCvSharp;

namespace GrainVision.Measuring;

/// <summary>Shown a measured photo before its pixels are released, to draw on it; called once a photo, with the verdict given.</summary>
/// <param name="photo">Not to be kept: the pixels go when this returns.</param>
/// <param name="measurement">What was measured on it, timings apart.</param>
public delegate void PhotoViewer(PhotoPixels photo, Measurement measurement);

/// <summary>The whole job on one photo: decode, measure, judge, and show the photo to whoever draws. The same bytes and request give the same answer, timings apart.</summary>
public static class MeasureJob
{
    static MeasureJob()
    {
        // One thread: jobs run side by side anyway, and some OpenCV filters round differently when they split their work.
        Cv2.SetNumThreads(1);
    }

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
        var clock = new StageClock(cancel);
        if (!clock.Run("intake", () => PhotoIntake.Decode(photoBytes, limits, cancel)).TryGet(out var photo, out var refusal))
            return refusal;
        using (photo)
        {
            if (!MeasuringPipeline.Run(photo, request, clock).TryGet(out var measurement, out refusal))
                return refusal;
            measurement = IntervalRecalibration.Apply(measurement, calibration, request.RingAngleDegrees is not null);
            measurement = measurement with { Warnings = [.. measurement.Warnings, .. Ignored(request)] };
            if (ruleBook is not null && measurement.CheckTarget is null)
                measurement = measurement with { Verdict = clock.Run("verdict", () => PhotoJudge.GiveVerdict(measurement, ruleBook)) };
            if (view is not null)
                clock.Run("picture", () => view(photo.Pixels, measurement));
            return measurement with { TimingsMs = clock.TimingsMs };
        }
    }

    private static IEnumerable<Warning> Ignored(MeasuringRequest request)
    {
        foreach (var member in request.Unknown?.Keys ?? [])
            yield return new Warning(WarningCode.MemberIgnored, $"The request's member '{member}' is not known and was ignored.") { Member = member };
        foreach (var part in request.IgnoredParts)
            yield return new Warning(WarningCode.FormPartIgnored, $"The request's member 'form part {part}' is not known and was ignored.") { Member = part };
    }
}
