using System.Diagnostics;
using GrainVision.Grading.Refusals;
using GrainVision.Measuring.Intake.CodedPixels;

namespace GrainVision.Measuring.Intake;

/// <summary>
/// A complete picture or none: counts what a file really codes before it is decoded, and refuses what is damaged or misses a part. The decoders fill a
/// hole with grey, black or rubbish and say nothing, which here could hide a knot.
/// </summary>
internal static class CodedPixelsCheck
{
    /// <summary>Walks the coded pixels; null where they are all there.</summary>
    /// <param name="photo">The file.</param>
    /// <param name="header">Its header, judged before: sizes and passes are within the limits.</param>
    /// <param name="cancel">Checked on the way.</param>
    /// <exception cref="OperationCanceledException"><paramref name="cancel"/> was asked for.</exception>
    public static Refusal? Check(ReadOnlyMemory<byte> photo, PhotoHeader header, CancellationToken cancel) => header.Format switch
    {
        PhotoFormat.Jpeg => Refused(JpegPixels.Check(photo.Span, cancel)),
        PhotoFormat.Png => Refused(PngPixels.Check(photo, cancel)),
        PhotoFormat.Webp => Refused(WebpPixels.Check(photo.Span, header.Width, header.Height, cancel)),
        PhotoFormat.Tiff => TiffPixels.Check(photo, cancel),
        PhotoFormat.Bmp => null, // BmpHeader takes uncompressed pixels only, and counts them
        var other => throw new UnreachableException($"Nothing counts the coded pixels of {other}."),
    };

    public static Refusal? Refused(CodedPixelsFinding found) => found switch
    {
        CodedPixelsFinding.Complete => null,
        CodedPixelsFinding.EndsEarly => IntakeRefusals.EndsEarly(),
        CodedPixelsFinding.TooCostly => IntakeRefusals.NeedsTooMuchMemory(),
        _ => IntakeRefusals.Unreadable(),
    };
}
