using System.Diagnostics;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Refusals;
using GrainVision.Grading.Rules;
using GrainVision.Measuring;
using GrainVision.Measuring.Intake;
using GrainVision.Measuring.Uncertainty;
using GrainVision.Synthesis;

namespace GrainVision.Accuracy;

/// <summary>What the caller of a trial tells the pipeline.</summary>
internal enum Told
{
    /// <summary>Nothing: outline and scale are found in the photo.</summary>
    Nothing,

    /// <summary>The true outline; the scale is found in the photo.</summary>
    Outline,

    /// <summary>The true pixels per mm; the outline is found in the photo.</summary>
    Pitch,

    /// <summary>The true outline and its true size.</summary>
    OutlineAndSize,
}

/// <summary>One synthetic photo measured: truth beside answer.</summary>
/// <param name="Truth">What the photo truly shows.</param>
/// <param name="Answer">The measurement, or null where refused.</param>
/// <param name="Refusal">The refusal, or null.</param>
/// <param name="Picture">Annotated picture, where measured and asked for.</param>
/// <param name="Milliseconds">From bytes to answer.</param>
internal sealed record Trial(PhotoTruth Truth, Measurement? Answer, Refusal? Refusal, byte[]? Picture, double Milliseconds)
{
    /// <param name="request">What is photographed.</param>
    /// <param name="told">What the pipeline is told.</param>
    /// <param name="book">Book to judge by.</param>
    /// <param name="ruleUnit">Tells what the rule is graduated in, as a shop's setting would.</param>
    /// <param name="ringAngle">Tells a face's true ring angle too, as the ends of its piece would.</param>
    /// <param name="calibration">Of the intervals; null for the program's own.</param>
    /// <param name="draw">Draws the picture too; only with the program's own calibration.</param>
    public static Trial Run(SceneRequest request, Told told, RuleBook? book, bool ringAngle = false, bool ruleUnit = false, IntervalCalibration? calibration = null, bool draw = false)
    {
        var photo = Synthesiser.Make(request);
        var truth = photo.Truth;
        var ask = new MeasuringRequest
        {
            View = truth.View,
            Species = truth.Species,
            RingAngleDegrees = ringAngle ? truth.Grain?.RingAngleDeg : null,
            Outline = told is Told.Nothing or Told.Pitch ? null : truth.Outline,
            Scale = told == Told.OutlineAndSize && !truth.OutlineCutByPhoto
                ? new OutlineSizeScale(truth.SizeMm.First, truth.SizeMm.Second)
                : told is Told.OutlineAndSize or Told.Pitch ? new PitchScale(truth.Scale.PixelsPerMm)
                : ruleUnit ? new AutoScale(truth.Scale.Unit) : null,
        };
        var bytes = photo.ToJpeg();
        var start = Stopwatch.GetTimestamp();
        var (outcome, picture) = draw
            ? DrawnAnswer.Run(bytes, ask, book)
            : (MeasureJob.Run(bytes, ask, book, IntakeLimits.Default, null, calibration ?? IntervalCalibration.Embedded, CancellationToken.None), null);
        var ms = Stopwatch.GetElapsedTime(start).TotalMilliseconds;
        return outcome.TryGet(out var measured, out var refusal)
            ? new Trial(truth, measured, null, picture, ms)
            : new Trial(truth, null, refusal, null, ms);
    }
}
