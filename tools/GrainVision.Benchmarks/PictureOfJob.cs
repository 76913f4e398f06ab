using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Measuring.Imaging;
using GrainVision.Presentation.Pictures;

namespace GrainVision.Benchmarks;

/// <summary>The picture is part of the job that is timed.</summary>
internal static class PictureOfJob
{
    private static readonly PictureWork Work = new(PixelWork.Resize, PixelWork.EncodeJpeg);

    public static void Draw(PhotoPixels photo, Measurement measurement) => PictureDrawer.Draw(photo, measurement, Work, CancellationToken.None);
}
