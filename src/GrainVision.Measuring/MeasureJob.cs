using GrainVision.Grading.Findings;
using GrainVision.Grading.Refusals;
using GrainVision.Measuring.Intake;

namespace GrainVision.Measuring;

/// <summary>One photo, measured and drawn.</summary>
public sealed record MeasuredPhoto(Measurement Measurement, byte[] PictureBytes, string PictureContentType);

/// <summary>Measures, judges and draws one photo. Until the stages are merged it takes the photo in and refuses.</summary>
public static class MeasureJob
{
    public static Outcome<MeasuredPhoto> Run(ReadOnlyMemory<byte> photoBytes, MeasuringRequest request, IntakeLimits limits, CancellationToken cancel)
    {
        if (!PhotoIntake.Decode(photoBytes, limits, cancel).Is(out var photo, out var refusal))
            return refusal;
        using (photo)
            return new Refusal("not-built-yet", "measure", 422, "Measuring is not built yet.", "Wait for the next version.");
    }
}
