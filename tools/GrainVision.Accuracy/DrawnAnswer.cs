using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Grading.Refusals;
using GrainVision.Grading.Rules;
using GrainVision.Measuring;
using GrainVision.Measuring.Imaging;
using GrainVision.Measuring.Intake;
using GrainVision.Presentation.Pictures;

namespace GrainVision.Accuracy;

/// <summary>Measures a photo and draws its picture, for the commands that show pictures; the others call <see cref="MeasureJob"/>, which draws none.</summary>
public static class DrawnAnswer
{
    /// <summary>The answer, and where there is one its picture, a JPEG.</summary>
    public static (Outcome<Measurement> Outcome, byte[]? Picture) Run(byte[] photo, MeasuringRequest request, RuleBook? book)
    {
        byte[]? picture = null;
        void Draw(PhotoPixels pixels, Measurement m) =>
            picture = PictureDrawer.Draw(pixels, m, new PictureWork(PixelWork.Resize, PixelWork.EncodeJpeg), CancellationToken.None).Bytes;
        var outcome = MeasureJob.Run(photo, request, book, IntakeLimits.Default, Draw, CancellationToken.None);
        return (outcome, picture);
    }
}
