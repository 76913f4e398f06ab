using GrainVision.Grading.Findings;
using GrainVision.Grading.Refusals;
using GrainVision.Grading.Rules;
using GrainVision.MeasuredPhotos;
using GrainVision.Measuring;

namespace GrainVision.Accuracy;

/// <summary>Measures a photo and draws its picture, for the commands that show pictures; the others call <see cref="MeasureJob"/>, which draws none.</summary>
public static class DrawnAnswer
{
    /// <summary>The answer, and where there is one its picture, a JPEG.</summary>
    public static (Outcome<Measurement> Outcome, byte[]? Picture) Run(byte[] photo, MeasuringRequest request, RuleBook? book)
    {
        var outcome = PhotoJob.Run(photo, request, book, CancellationToken.None);
        return outcome.TryGet(out var measured, out var refusal) ? (measured.Measurement, measured.PictureBytes) : (refusal, null);
    }
}
