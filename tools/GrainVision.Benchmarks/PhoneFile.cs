using OpenCvSharp;

namespace GrainVision.Benchmarks;

/// <summary>A drawn photo as a phone's camera would have written it: sensor noise, and a file of 3 to 5 MB at 12 MP.</summary>
internal static class PhoneFile
{
    /// <summary>3 of 255: standard deviation of the noise of a phone indoors at ISO 200 or so (common practice, no source).</summary>
    private const double NoiseSigma = 3;

    /// <summary>5 MB: phones write 3 to 5 MB at 12 MP (design.md, 8).</summary>
    private const int MostBytes = 5_000_000;

    /// <summary>The picture with noise, as JPEG of the best quality that is small enough. The same drawn photo gives the same bytes.</summary>
    public static byte[] From(byte[] drawn)
    {
#pragma warning disable RS0030 // our own synthetic file
        using var picture = Cv2.ImDecode(drawn, ImreadModes.Color);
#pragma warning restore RS0030
        Cv2.SetTheRNG(1);
        using var noise = new Mat(picture.Size(), MatType.CV_16SC3);
        Cv2.Randn(noise, Scalar.All(0), Scalar.All(NoiseSigma));
        using var noisy = new Mat();
        Cv2.Add(picture, noise, noisy, null, (int)MatType.CV_8U);
        for (var quality = 95; ; quality -= 3)
        {
            Cv2.ImEncode(".jpg", noisy, out var bytes, new ImageEncodingParam(ImwriteFlags.JpegQuality, quality));
            if (bytes.Length <= MostBytes)
                return bytes;
        }
    }
}
