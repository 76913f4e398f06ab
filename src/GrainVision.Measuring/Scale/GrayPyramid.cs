using GrainVision.Grading.Quantities;
using OpenCvSharp;

namespace GrainVision.Measuring.Scale;

/// <summary>
/// A photo at halving resolutions, so that graduations or cards of any size have about the same size in one of them.
/// Dispose frees the halved pictures; the photo itself belongs to the caller.
/// </summary>
internal sealed class GrayPyramid : IDisposable
{
    /// <summary>Level 0 beyond this many pixels is skipped: a 64 MP photo is searched from 16 MP down.</summary>
    private const double GreatestPixels = 17e6;

    /// <summary>Below this long side nothing of 15 graduations can be told.</summary>
    private const int LeastLongSidePx = 120;

    private readonly List<Mat> _levels = [];

    /// <param name="gray">The photo, 8 bit.</param>
    /// <param name="wholeFocalPx">Focal length where the photo is known to be whole.</param>
    public GrayPyramid(Mat gray, double? wholeFocalPx = null)
    {
        WholeFocalPx = wholeFocalPx;
        _levels.Add(gray);
        var size = gray.Size();
        while (Math.Max(size.Width, size.Height) / 2 >= LeastLongSidePx && Math.Min(size.Width, size.Height) >= 32)
        {
            var half = new Mat();
            size = new Size(size.Width / 2, size.Height / 2);
            Cv2.Resize(_levels[^1], half, size, 0, 0, InterpolationFlags.Area);
            _levels.Add(half);
        }

        for (var pixels = (double)gray.Width * gray.Height; pixels > GreatestPixels && FirstLevel < _levels.Count - 1; pixels /= 4)
            FirstLevel++;
    }

    /// <summary>Focal length, px, where the photo is known to be the whole of what the lens saw; else null.</summary>
    public double? WholeFocalPx { get; }

    public int Count => _levels.Count;

    /// <summary>Finest level that is searched.</summary>
    public int FirstLevel { get; }

    public Mat this[int level] => _levels[level];

    /// <summary>From a point of a level to the photo; both count from pixel centres.</summary>
    public static PointPx ToPhoto(PointPx p, int level)
    {
        var k = 1 << level;
        return new PointPx(((p.X + 0.5) * k) - 0.5, ((p.Y + 0.5) * k) - 0.5);
    }

    /// <summary>From the photo to a level.</summary>
    public static PointPx FromPhoto(PointPx p, int level)
    {
        var k = 1 << level;
        return new PointPx(((p.X + 0.5) / k) - 0.5, ((p.Y + 0.5) / k) - 0.5);
    }

    public void Dispose()
    {
        for (var i = 1; i < _levels.Count; i++)
            _levels[i].Dispose();
    }
}
