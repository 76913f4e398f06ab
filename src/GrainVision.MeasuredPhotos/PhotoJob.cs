using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Grading.Refusals;
using GrainVision.Grading.Rules;
using GrainVision.Measuring;
using GrainVision.Measuring.Imaging;
using GrainVision.Measuring.Intake;
using GrainVision.Presentation.Pictures;

namespace GrainVision.MeasuredPhotos;

/// <summary>A measurement with its annotated picture.</summary>
/// <param name="Measurement">Verdict and the picture in words included; without id and picture URL, which belong to whoever keeps it.</param>
/// <param name="PictureBytes">Encoded picture; no metadata of the photo goes into it.</param>
/// <param name="PictureContentType">Its media type.</param>
public sealed record MeasuredPhoto(Measurement Measurement, byte[] PictureBytes, string PictureContentType);

/// <summary>Measures a photo and draws its picture: where measuring and drawing meet, for the service, the command line and the tools.</summary>
public static class PhotoJob
{
    private static readonly PictureWork Work = new(PixelWork.Resize, PixelWork.EncodeJpeg);

    /// <summary>As <see cref="MeasureJob"/>, with the picture.</summary>
    public static Outcome<MeasuredPhoto> Run(ReadOnlyMemory<byte> photo, MeasuringRequest request, RuleBook? book, CancellationToken cancel)
    {
        if (!PhotoInHand.Open(photo, IntakeLimits.Default, cancel).TryGet(out var inHand, out var refusal))
            return refusal;
        using (inHand)
            return Run(inHand, request, book, cancel);
    }

    /// <summary>The same of a photo that is decoded already.</summary>
    public static Outcome<MeasuredPhoto> Run(PhotoInHand photo, MeasuringRequest request, RuleBook? book, CancellationToken cancel)
    {
        DrawnPicture? picture = null;
        void Draw(PhotoPixels pixels, Measurement m) => picture = PictureDrawer.Draw(pixels, m, Work, cancel);
        return photo.Measure(request, book, Draw, cancel).TryGet(out var measurement, out var refusal)
            ? new MeasuredPhoto(measurement with { PictureAltText = picture!.AltText }, picture.Bytes, picture.ContentType)
            : refusal;
    }

    /// <summary>As <see cref="MeasureJob"/>, with the picture in words but none drawn.</summary>
    public static Outcome<Measurement> RunWithoutPicture(ReadOnlyMemory<byte> photo, MeasuringRequest request, RuleBook? book, CancellationToken cancel) =>
        MeasureJob.Run(photo, request, book, IntakeLimits.Default, cancel).TryGet(out var measurement, out var refusal)
            ? measurement with { PictureAltText = AltText.From(measurement) }
            : refusal;

    /// <summary>Measures and draws once, so that the first real photo does not wait for it.</summary>
    public static void WarmUp(CancellationToken cancel) => Measuring.WarmUp.Run((pixels, m) => PictureDrawer.Draw(pixels, m, Work, cancel), cancel);
}
