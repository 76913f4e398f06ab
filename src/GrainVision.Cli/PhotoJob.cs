using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Grading.Refusals;
using GrainVision.Grading.Rules;
using GrainVision.Measuring;
using GrainVision.Measuring.Imaging;
using GrainVision.Measuring.Intake;
using GrainVision.Presentation.Pictures;

namespace GrainVision.Cli;

/// <summary>A measurement with the picture in words, and the picture itself where one was wanted.</summary>
internal sealed record MeasuredPhoto(Measurement Measurement, byte[]? Picture);

/// <summary>Measures a photo in this process, and draws its picture where one is wanted: where measuring and drawing meet on the command line.</summary>
internal static class PhotoJob
{
    public static Outcome<MeasuredPhoto> Run(byte[] photo, MeasuringRequest request, RuleBook? book, bool draw, CancellationToken cancel)
    {
        byte[]? picture = null;
        void Draw(PhotoPixels pixels, Measurement m) =>
            picture = PictureDrawer.Draw(pixels, m, new PictureWork(PixelWork.Resize, PixelWork.EncodeJpeg), cancel).Bytes;
        var outcome = draw
            ? MeasureJob.Run(photo, request, book, IntakeLimits.Default, Draw, cancel)
            : MeasureJob.Run(photo, request, book, IntakeLimits.Default, cancel);
        return outcome.TryGet(out var measurement, out var refusal) ? new MeasuredPhoto(measurement with { PictureAltText = AltText.From(measurement) }, picture) : refusal;
    }
}
