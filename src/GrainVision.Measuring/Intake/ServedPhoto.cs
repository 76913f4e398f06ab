using GrainVision.Grading.Refusals;
using OpenCvSharp;

namespace GrainVision.Measuring.Intake;

/// <summary>
/// A photo made fit to be shown: decoded, turned upright and encoded anew, so that nothing of the file but its pixels goes out - no position, time, camera or thumbnail.
/// </summary>
/// <param name="Bytes">A JPEG without metadata.</param>
public sealed record ServedPhoto(byte[] Bytes)
{
    public const string ContentType = "image/jpeg";

    /// <summary>90: next to the original no difference shows on a screen.</summary>
    private const int Quality = 90;

    /// <summary>Makes the copy.</summary>
    /// <param name="photo">The file as received.</param>
    /// <param name="limits">What it may cost.</param>
    /// <param name="cancel">Checked while decoding.</param>
    /// <exception cref="OperationCanceledException"><paramref name="cancel"/> was asked for.</exception>
    public static Outcome<ServedPhoto> Make(ReadOnlyMemory<byte> photo, IntakeLimits limits, CancellationToken cancel)
    {
        if (!PhotoIntake.Decode(photo, limits, cancel).TryGet(out var upright, out var refusal))
            return refusal;
        using (upright)
        {
            Cv2.ImEncode(".jpg", upright.Bgr, out var bytes, new ImageEncodingParam(ImwriteFlags.JpegQuality, Quality));
            return new ServedPhoto(bytes);
        }
    }
}
