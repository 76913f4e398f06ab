using GrainVision.Grading.Quantities;
using GrainVision.Measuring.Geometry;
using GrainVision.Measuring.Intake;
using GrainVision.Measuring.Scale;
using OpenCvSharp;
using SkiaSharp;

namespace GrainVision.Measuring.Tests.Scale;

/// <summary>
/// Draws things of known size into a photo: each is painted in mm, mapped by an exact homography at four times the resolution
/// and averaged down as a sensor does, then blurred and given noise.
/// </summary>
internal sealed class DrawnPhoto : IDisposable
{
    private const int Over = 4;
    private readonly Mat _large;

    public DrawnPhoto(int width, int height, Scalar ground) => _large = new Mat(height * Over, width * Over, MatType.CV_8UC3, ground);

    public static DrawnPhoto OnWood(int width, int height, int seed)
    {
        var photo = new DrawnPhoto(width, height, new Scalar(120, 160, 190));
        photo.PaintRings(seed);
        return photo;
    }

    /// <summary>Paints something drawn in mm (origin 0, 0) through a map from mm to photo px.</summary>
    public void Paint(Homography pxFromMm, Action<SKCanvas> draw)
    {
        var m = new Homography([Over, 0, (Over - 1) / 2.0, 0, Over, (Over - 1) / 2.0, 0, 0, 1]).After(pxFromMm).RowMajor;

        // Skia counts from a pixel's corner, we from its centre.
        var half = new Homography([1, 0, 0.5, 0, 1, 0.5, 0, 0, 1]).After(new Homography(m.ToArray())).RowMajor;
        using var shared = SKSurface.Create(
            new SKImageInfo(_large.Width, _large.Height, SKColorType.Bgra8888, SKAlphaType.Premul));
        shared.Canvas.Clear(SKColors.Transparent);
        shared.Canvas.SetMatrix(new SKMatrix(
            (float)half[0], (float)half[1], (float)half[2], (float)half[3], (float)half[4], (float)half[5], (float)half[6], (float)half[7], (float)half[8]));
        draw(shared.Canvas);
        using var pixels = shared.PeekPixels();
        using var bgra = Mat.FromPixelData(_large.Height, _large.Width, MatType.CV_8UC4, pixels.GetPixels(), pixels.RowBytes);
        using var colour = new Mat();
        using var opaque = new Mat();
        Cv2.CvtColor(bgra, colour, ColorConversionCodes.BGRA2BGR);
        Cv2.ExtractChannel(bgra, opaque, 3);
        Cv2.Threshold(opaque, opaque, 127, 255, ThresholdTypes.Binary);
        colour.CopyTo(_large, opaque);
    }

    public UprightPhoto Take(double blurPx = 0.6, double noise = 2, int seed = 1, double glare = 0)
    {
        var small = new Mat();
        Cv2.Resize(_large, small, default, 1.0 / Over, 1.0 / Over, InterpolationFlags.Area);
        if (glare != 0)
            AddGlare(small, glare);
        if (blurPx > 0)
            Cv2.GaussianBlur(small, small, default, blurPx);
        if (noise > 0)
            AddNoise(small, noise, seed);
        return new UprightPhoto(small, new string('0', 64), []) { WholeFocalPx = 0.8 * small.Width };
    }

    public void Dispose() => _large.Dispose();

    /// <summary>Arcs of growth rings with uneven spacing: the texture that must not be taken for a rule.</summary>
    private void PaintRings(int seed)
    {
        var random = new Random(seed);
        var centre = new Point(-(int)(_large.Width * random.NextDouble()), (int)(_large.Height * (1.2 + random.NextDouble())));
        var reach = (int)Math.Sqrt((double)_large.Width * _large.Width + (double)_large.Height * _large.Height) * 3;
        for (double r = 40; r < reach; r += 12 * Over * (0.75 + (0.5 * random.NextDouble())))
            Cv2.Circle(_large, centre, (int)r, new Scalar(80 + random.Next(20), 110 + random.Next(20), 140 + random.Next(20)), 3 * Over / 2, LineTypes.AntiAlias);
    }

    private static void AddGlare(Mat picture, double strength)
    {
        var (width, height) = (picture.Width, picture.Height);
        using var add = new Mat(height, width, MatType.CV_8UC3);
        for (var y = 0; y < height; y++)
        {
            for (var x = 0; x < width; x++)
            {
                var d = Math.Pow((x - (0.6 * width)) / (0.25 * width), 2) + Math.Pow((y - (0.5 * height)) / (0.25 * height), 2);
                var v = (byte)(strength * Math.Exp(-d));
                add.Set(y, x, new Vec3b(v, v, v));
            }
        }

        Cv2.Add(picture, add, picture);
    }

    /// <summary>Normal noise from a fixed table, the same on every run and machine.</summary>
    private static unsafe void AddNoise(Mat picture, double sigma, int seed)
    {
        var random = new Random(seed);
        var table = new float[65537];
        for (var i = 0; i < table.Length; i++)
            table[i] = (float)(sigma * Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble()));
        var (bytes, height) = (picture.Width * 3, picture.Height);
        for (var y = 0; y < height; y++)
        {
            var row = new Span<byte>((void*)picture.Ptr(y), bytes);
            var at = random.Next(table.Length);
            for (var x = 0; x < bytes; x++)
            {
                row[x] = (byte)Math.Clamp(row[x] + table[at] + 0.5f, 0, 255);
                at = at + 1 < table.Length ? at + 1 : 0;
            }
        }
    }
}
