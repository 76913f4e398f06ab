using GrainVision.Grading.Findings;
using GrainVision.Measuring.Intake;
using GrainVision.Measuring.Section;
using OpenCvSharp;

namespace GrainVision.Measuring.Surfaces;

/// <summary>
/// The surface in colour as the surface network takes it: flat, at one pitch whatever the photo's own scale, with a rim of what lies round the wood.
/// Row = v, column = u, sides multiples of 16. Owns native memory: dispose it.
/// </summary>
internal sealed class SurfacePicture : IDisposable
{
    /// <summary>6 px/mm: a face as the network was taught it.</summary>
    private const double FacePitch = 6;

    /// <summary>9 px/mm: an end as it was taught it. Shakes run along rings there and are no wider than latewood: at 6 px/mm three of 250 drawn cracks were taken for other lines.</summary>
    private const double EndPitch = 9;

    /// <summary>4 mm: what it was shown round the wood, so that it knows the wood's edge.</summary>
    public const double RimMm = 4;

    /// <summary>16: the network halves four times.</summary>
    public const int Step = 16;

    /// <summary>
    /// 9 MP: a board of 1.5 m by 160 mm. Above it the pitch is lowered, and hair checks go first: half a gigabyte of maps would not be worth them on a
    /// photo that shows such a length.
    /// </summary>
    private const double MostPixels = 9e6;

    private SurfacePicture(SurfaceFrame plane, Mat bgr, Point2d originMm, double pitch)
    {
        Plane = plane;
        Bgr = bgr;
        OriginMm = originMm;
        PitchPxPerMm = pitch;
    }

    public SurfaceFrame Plane { get; }

    /// <summary>CV_8UC3, blue-green-red.</summary>
    public Mat Bgr { get; }

    /// <summary>(u, v) in mm of the middle of pixel (0, 0).</summary>
    public Point2d OriginMm { get; }

    public double PitchPxPerMm { get; }

    /// <summary>Pitch at which a surface is read unless it is too large, px/mm.</summary>
    public static double FinestPitch(View view) => view == View.End ? EndPitch : FacePitch;

    public static SurfacePicture Resample(UprightPhoto photo, SurfaceFrame plane, View view)
    {
        var (minU, maxU) = (plane.CornersMm.Min(c => c.X) - RimMm, plane.CornersMm.Max(c => c.X) + RimMm);
        var (minV, maxV) = (plane.CornersMm.Min(c => c.Y) - RimMm, plane.CornersMm.Max(c => c.Y) + RimMm);
        var pitch = Math.Min(FinestPitch(view), Math.Sqrt(MostPixels / ((maxU - minU) * (maxV - minV))));
        var size = new Size(Up((maxU - minU) * pitch), Up((maxV - minV) * pitch));
        var origin = new Point2d(minU + (0.5 / pitch), minV + (0.5 / pitch));
        return new SurfacePicture(plane, RectifiedSurface.Warp(photo, plane, origin, pitch, size, conversion: null, RimMm), origin, pitch);
    }

    public void Dispose() => Bgr.Dispose();

    private static int Up(double px) => Step * (int)Math.Ceiling(Math.Max(px, 2 * Step) / Step);
}
