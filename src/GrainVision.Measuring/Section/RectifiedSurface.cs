using GrainVision.Measuring.Geometry;
using GrainVision.Measuring.Intake;
using GrainVision.Measuring.Scale;
using OpenCvSharp;

namespace GrainVision.Measuring.Section;

/// <summary>
/// The section's pixels resampled to its own metric frame at one pitch: row = v, column = u. Grey, 32-bit float, 0 to 255,
/// with a mask of what is inside the section. Owns native memory: dispose it.
/// </summary>
public sealed class RectifiedSurface : IDisposable
{
    private RectifiedSurface(SurfaceFrame plane, Mat grey, Mat mask, Point2d originMm, double pitch)
    {
        Plane = plane;
        Grey = grey;
        Mask = mask;
        OriginMm = originMm;
        PitchPxPerMm = pitch;
    }

    public SurfaceFrame Plane { get; }

    /// <summary>CV_32FC1, 0 to 255.</summary>
    public Mat Grey { get; }

    /// <summary>CV_8UC1, 255 inside the section and inside the photo.</summary>
    public Mat Mask { get; }

    /// <summary>(u, v) in mm of the raster's pixel (0, 0).</summary>
    public Point2d OriginMm { get; }

    /// <summary>Raster pixels per mm, the same along both axes.</summary>
    public double PitchPxPerMm { get; }

    public Point2d ToMm(double x, double y) => new(OriginMm.X + (x / PitchPxPerMm), OriginMm.Y + (y / PitchPxPerMm));

    public Point2d FromMm(Point2d mm) => new((mm.X - OriginMm.X) * PitchPxPerMm, (mm.Y - OriginMm.Y) * PitchPxPerMm);

    /// <summary>Resamples the section.</summary>
    /// <param name="photo">The upright photo.</param>
    /// <param name="plane">The section's frame.</param>
    /// <param name="finestPitch">Greatest pitch wanted, px/mm; the photo's own pitch is never exceeded.</param>
    /// <param name="mostPixels">Most pixels of the raster; the pitch is lowered to fit.</param>
    public static RectifiedSurface Resample(UprightPhoto photo, SurfaceFrame plane, double finestPitch, double mostPixels)
    {
        ArgumentNullException.ThrowIfNull(photo);
        ArgumentNullException.ThrowIfNull(plane);
        var (minU, maxU) = (plane.CornersMm.Min(c => c.X), plane.CornersMm.Max(c => c.X));
        var (minV, maxV) = (plane.CornersMm.Min(c => c.Y), plane.CornersMm.Max(c => c.Y));
        var areaMm2 = Math.Max((maxU - minU) * (maxV - minV), 1e-6);
        var pitch = Math.Min(Math.Min(finestPitch, plane.PixelsPerMm), Math.Sqrt(mostPixels / areaMm2));
        var size = new Size(Math.Max(8, (int)Math.Ceiling((maxU - minU) * pitch)), Math.Max(8, (int)Math.Ceiling((maxV - minV) * pitch)));
        var origin = new Point2d(minU, minV);

        using var warped = Warp(photo, plane, origin, pitch, size, ColorConversionCodes.BGR2GRAY);
        var grey = new Mat();
        warped.ConvertTo(grey, MatType.CV_32FC1);

        var mask = new Mat(size, MatType.CV_8UC1, Scalar.All(0));
        var polygon = plane.CornersMm.Select(c => new Point((int)Math.Round((c.X - origin.X) * pitch), (int)Math.Round((c.Y - origin.Y) * pitch))).ToArray();
        Cv2.FillConvexPoly(mask, polygon, Scalar.All(255));
        return new RectifiedSurface(plane, grey, mask, origin, pitch);
    }

    public void Dispose()
    {
        Grey.Dispose();
        Mask.Dispose();
    }

    /// <summary>A part of the section's frame resampled from the photo; past the photo's border its last pixels go on. The caller disposes it.</summary>
    /// <param name="photo">The upright photo.</param>
    /// <param name="plane">The section's frame.</param>
    /// <param name="origin">(u, v) in mm of the result's pixel (0, 0).</param>
    /// <param name="pitch">Its pixels per mm.</param>
    /// <param name="size">Its size.</param>
    /// <param name="conversion">Of the colours; null leaves blue-green-red.</param>
    /// <param name="beyondMm">How far it reaches beyond the section's corners, mm.</param>
    internal static Mat Warp(UprightPhoto photo, SurfaceFrame plane, Point2d origin, double pitch, Size size, ColorConversionCodes? conversion, double beyondMm = 0)
    {
        var bounds = PhotoBounds(photo, plane, beyondMm);
        using var cropBgr = new Mat(photo.Bgr, bounds);
        using var converted = new Mat();
        if (conversion is { } code)
            Cv2.CvtColor(cropBgr, converted, code);
        var crop = conversion is null ? cropBgr : converted;

        // Averaging first keeps fine saw marks and noise from aliasing into false rings.
        var shrink = Math.Max(1, plane.PixelsPerMm / pitch);
        using var shrunk = shrink > 1.3 ? Shrink(crop, shrink) : null;
        var small = shrunk ?? crop;
        var (sx, sy) = ((double)small.Width / crop.Width, (double)small.Height / crop.Height);
        var smallFromPx = new Homography([sx, 0, (sx * (0.5 - bounds.X)) - 0.5, 0, sy, (sy * (0.5 - bounds.Y)) - 0.5, 0, 0, 1]);
        using var map = smallFromPx.After(plane.PxFromRaster(origin, pitch)).ToMat();
        var warped = new Mat();
        Cv2.WarpPerspective(small, warped, map, size, (conversion is null ? InterpolationFlags.Linear : InterpolationFlags.Cubic) | InterpolationFlags.WarpInverseMap, BorderTypes.Replicate);
        return warped;
    }

    private static Mat Shrink(Mat crop, double by)
    {
        var small = new Mat();
        Cv2.Resize(crop, small, new Size(Math.Max(2, (int)Math.Round(crop.Width / by)), Math.Max(2, (int)Math.Round(crop.Height / by))), 0, 0, InterpolationFlags.Area);
        return small;
    }

    private static Rect PhotoBounds(UprightPhoto photo, SurfaceFrame plane, double beyondMm)
    {
        // A half more than the middle's scale: a tilted face is nearer at one end.
        var margin = 3 + (int)(1.5 * beyondMm * plane.PixelsPerMm);
        var left = (int)Math.Floor(plane.CornersPx.Min(c => c.X)) - margin;
        var top = (int)Math.Floor(plane.CornersPx.Min(c => c.Y)) - margin;
        var right = (int)Math.Ceiling(plane.CornersPx.Max(c => c.X)) + margin;
        var bottom = (int)Math.Ceiling(plane.CornersPx.Max(c => c.Y)) + margin;
        left = Math.Clamp(left, 0, photo.Width - 2);
        top = Math.Clamp(top, 0, photo.Height - 2);
        return new Rect(left, top, Math.Clamp(right, left + 2, photo.Width) - left, Math.Clamp(bottom, top + 2, photo.Height) - top);
    }
}
