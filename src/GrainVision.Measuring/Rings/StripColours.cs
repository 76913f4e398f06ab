using GrainVision.Measuring.Intake;
using GrainVision.Measuring.Orientation;
using GrainVision.Measuring.Section;
using OpenCvSharp;

namespace GrainVision.Measuring.Rings;

/// <summary>The colours of an unrolled strip, straight from the photo, as finely as asked.</summary>
internal static class StripColours
{
    /// <summary>1.3: a photo finer than that times the strip is averaged first, so that noise and saw marks do not alias into rings.</summary>
    private const double ShrinkFrom = 1.3;

    /// <summary>0.4: Gaussian blur before columns are thinned, in columns of the result.</summary>
    private const double BlurPerColumn = 0.4;

    /// <summary>Samples the strip.</summary>
    /// <param name="photo">The upright photo.</param>
    /// <param name="raster">The raster in whose pixels the strip's maps are.</param>
    /// <param name="strip">Where to sample.</param>
    /// <param name="scale">Columns of the result for each column of the strip, 1 or more.</param>
    /// <returns>CV_8UC3, blue-green-red, rows as the strip's. The caller disposes it.</returns>
    public static Mat Sample(UprightPhoto photo, RectifiedSurface raster, UnrolledStrip strip, double scale)
    {
        using var xy = new Mat();
        Cv2.Merge([strip.MapX, strip.MapY], xy);
        using var wide = new Mat();
        Cv2.Resize(xy, wide, new Size((int)Math.Round(xy.Width * scale), xy.Height), 0, 0, InterpolationFlags.Linear);
        using var fromRaster = raster.Plane.PxFromRaster(raster.OriginMm, raster.PitchPxPerMm).ToMat();
        using var inPhoto = new Mat();
        Cv2.PerspectiveTransform(wide, inPhoto, fromRaster);

        var bounds = Bounds(inPhoto, photo);
        using var crop = new Mat(photo.Bgr, bounds);
        var by = raster.Plane.PixelsPerMm / (strip.PitchPxPerMm * scale);
        using var small = by > ShrinkFrom ? Shrink(crop, by) : null;
        var source = small ?? crop;
        var (sx, sy) = ((double)source.Width / crop.Width, (double)source.Height / crop.Height);
        using var local = new Mat(2, 3, MatType.CV_64FC1);
        local.SetArray([sx, 0, (sx * (0.5 - bounds.X)) - 0.5, 0, sy, (sy * (0.5 - bounds.Y)) - 0.5]);
        using var map = new Mat();
        Cv2.Transform(inPhoto, map, local);
        var colours = new Mat();
        using var none = new Mat();
        Cv2.Remap(source, colours, map, none, InterpolationFlags.Cubic, BorderTypes.Replicate);
        return colours;
    }

    /// <summary>The same with fewer columns, smoothed as far as that asks for. The caller disposes it.</summary>
    public static Mat Narrower(Mat colours, double scale)
    {
        using var smooth = new Mat();
        Cv2.GaussianBlur(colours, smooth, new Size(0, 0), BlurPerColumn / scale, 0.01);
        var narrow = new Mat();
        Cv2.Resize(smooth, narrow, new Size(Math.Max(8, (int)Math.Round(colours.Width * scale)), colours.Height), 0, 0, InterpolationFlags.Linear);
        return narrow;
    }

    private static Rect Bounds(Mat inPhoto, UprightPhoto photo)
    {
        const int margin = 3;
        using var x = new Mat();
        using var y = new Mat();
        Cv2.ExtractChannel(inPhoto, x, 0);
        Cv2.ExtractChannel(inPhoto, y, 1);
        Cv2.MinMaxLoc(x, out double left, out double right);
        Cv2.MinMaxLoc(y, out double top, out double bottom);
        var l = (int)Math.Clamp(Math.Floor(left) - margin, 0, photo.Width - 2);
        var t = (int)Math.Clamp(Math.Floor(top) - margin, 0, photo.Height - 2);
        var r = (int)Math.Clamp(Math.Ceiling(right) + margin, l + 2, photo.Width);
        var b = (int)Math.Clamp(Math.Ceiling(bottom) + margin, t + 2, photo.Height);
        return new Rect(l, t, r - l, b - t);
    }

    private static Mat Shrink(Mat crop, double by)
    {
        var small = new Mat();
        Cv2.Resize(crop, small, new Size(Math.Max(2, (int)Math.Round(crop.Width / by)), Math.Max(2, (int)Math.Round(crop.Height / by))), 0, 0, InterpolationFlags.Area);
        return small;
    }
}
