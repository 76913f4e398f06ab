using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using OpenCvSharp;

namespace GrainVision.Measuring.Intake;

/// <summary>
/// A decoded photo, turned upright once. Owns its pixels: dispose it.
/// All coordinates of all later stages and of the contract are pixels of this picture.
/// </summary>
public sealed class UprightPhoto : IDisposable
{
    /// <param name="bgr">8-bit, three channels, blue-green-red; this object owns it from now on.</param>
    /// <param name="sha256">Of the bytes as received, lower-case hex.</param>
    /// <param name="warnings">What the sender should know, such as "only the first of 3 frames was used".</param>
    public UprightPhoto(Mat bgr, string sha256, IReadOnlyList<Warning> warnings)
    {
        ArgumentNullException.ThrowIfNull(bgr);
        Bgr = bgr;
        Sha256 = sha256;
        Warnings = warnings;
    }

    /// <summary>8-bit, three channels, blue-green-red. Stages read it and never write to it.</summary>
    public Mat Bgr { get; }

    public string Sha256 { get; }

    public IReadOnlyList<Warning> Warnings { get; }

    /// <summary>
    /// Focal length in px where the file shows that the picture is the whole of what the lens saw, so that the lens's axis falls on its middle; null where it
    /// may be cropped or edited.
    /// </summary>
    public double? WholeFocalPx { get; init; }

    public int Width => Bgr.Width;

    public int Height => Bgr.Height;

    /// <summary>The pixels as plain data; not to be used once this object is disposed of.</summary>
    public unsafe PhotoPixels Pixels =>
        new(new ReadOnlySpan<byte>(Bgr.DataPointer, checked((int)((Bgr.Step() * (Height - 1)) + (Width * PhotoPixels.PixelBytes)))), Width, Height, (int)Bgr.Step());

    public void Dispose() => Bgr.Dispose();
}
