using GrainVision.Grading.Quantities;
using GrainVision.Measuring.Geometry;
using OpenCvSharp;

namespace GrainVision.Measuring.Scale.SteelRule;

/// <summary>
/// The row of graduations turned level: u along the row, v along the graduations, one strip pixel per pixel of the pyramid level
/// in which a spacing is 8 to 16 px; where it is less in the photo itself, the strip is enlarged up to three times. Owns its pixels.
/// </summary>
internal sealed unsafe class SteelRuleStrip : IDisposable
{
    /// <summary>8 px: a tick is then located to a hundredth of the spacing; finer levels only cost time.</summary>
    private const double LeastSpacingPx = 8;

    /// <summary>Graduations up to 24 spacings long are seen whole: an inch line of 1/2 in on a 1/32 in rule is 16.</summary>
    public const double WholeSpacings = 24;

    /// <summary>Enough to count and locate graduations, and thirty times quicker to cut.</summary>
    public const double NarrowSpacings = 0.8;

    /// <summary>3: a spacing of 2.8 px, the finest that is looked for, becomes 8.</summary>
    private const double GreatestZoom = 3;

    /// <summary>The row may go on beyond where the walk gave up.</summary>
    private const double MarginSpacings = 12;

    private readonly Mat _pixels;
    private readonly int _level;
    private readonly double _zoom;
    private readonly PointPx _origin;
    private readonly PointPx _along;
    private readonly PointPx _across;
    private readonly byte* _data;
    private readonly long _stride;

    private SteelRuleStrip(Mat pixels, Size photo, RuleOptics optics, int level, double zoom, PointPx origin, TickBand band, double startU, double middleV, double spacing)
    {
        _pixels = pixels;
        _level = level;
        _zoom = zoom;
        _origin = origin;
        _along = band.Along;
        _across = band.Across;
        StartU = startU;
        MiddleV = middleV;
        SpacingPx = spacing;
        Width = pixels.Width;
        Height = pixels.Height;
        _data = pixels.DataPointer;
        _stride = pixels.Step();
        Picture = photo;
        Optics = optics;
    }

    public int Width { get; }

    public int Height { get; }

    /// <summary>Strip column of the band's middle.</summary>
    public double StartU { get; }

    /// <summary>The lens that is taken for the photo's own.</summary>
    public RuleOptics Optics { get; }

    /// <summary>How the row lies to that lens.</summary>
    public LineDistortion Lens => LensOf(Optics);

    /// <summary>Strip row of the band's line.</summary>
    public double MiddleV { get; }

    /// <summary>Roughly, strip px.</summary>
    public double SpacingPx { get; }

    /// <summary>Photo pixels per strip pixel.</summary>
    public double PhotoPxPerStripPx => (1 << _level) / _zoom;

    /// <summary>Cuts the strip; its columns do not depend on its height. Null where the row is too short.</summary>
    public static SteelRuleStrip? Cut(GrayPyramid pyramid, TickBand band, double halfHeightSpacings)
    {
        var level = 0;
        while (level < pyramid.Count - 1 && band.SpacingPx / (1 << (level + 1)) >= LeastSpacingPx)
            level++;
        var k = 1.0 / (1 << level);
        var zoom = Math.Clamp(LeastSpacingPx / (band.SpacingPx * k), 1, GreatestZoom);
        var spacing = band.SpacingPx * k;
        var middle = GrayPyramid.FromPhoto(band.Middle, level);
        var picture = pyramid[level];
        var from = Inside(picture, middle, band.Along, (band.FromPx * k) - (MarginSpacings * spacing));
        var to = Inside(picture, middle, band.Along, (band.ToPx * k) + (MarginSpacings * spacing));
        var width = (int)((to - from) * zoom);
        var half = (int)Math.Ceiling(halfHeightSpacings * spacing * zoom);
        if (width < 4 * spacing * zoom)
            return null;

        var origin = middle + (band.Along * from) - (band.Across * (half / zoom));
        using var map = new Mat(2, 3, MatType.CV_64FC1);
        map.Set(0, 0, band.Along.X / zoom);
        map.Set(0, 1, band.Across.X / zoom);
        map.Set(0, 2, origin.X);
        map.Set(1, 0, band.Along.Y / zoom);
        map.Set(1, 1, band.Across.Y / zoom);
        map.Set(1, 2, origin.Y);
        var strip = new Mat();
        Cv2.WarpAffine(
            picture, strip, map, new Size(width, (2 * half) + 1),
            (zoom > 1 ? InterpolationFlags.Cubic : InterpolationFlags.Linear) | InterpolationFlags.WarpInverseMap, BorderTypes.Replicate);
        return new SteelRuleStrip(strip, pyramid[0].Size(), RuleOptics.Of(pyramid[0].Size(), pyramid.WholeFocalPx), level, zoom, origin, band, -from * zoom, half, spacing * zoom);
    }

    /// <summary>Turns dark and bright round, for white graduations on a dark rule.</summary>
    public void Invert()
    {
        Cv2.BitwiseNot(_pixels, _pixels);
        IsInverted = !IsInverted;
    }

    /// <summary>255 where a pixel is darker than its surroundings by more than so many grey levels.</summary>
    public void Threshold(Mat dark, int block, double by) =>
        Cv2.AdaptiveThreshold(_pixels, dark, 255, AdaptiveThresholdTypes.MeanC, ThresholdTypes.BinaryInv, block, by);

    public bool IsInverted { get; private set; }

    /// <summary>Brightness, bilinear; the border's value outside.</summary>
    public float At(double u, double v) => TickSpectrum.Sample(
        _data, _stride, (float)Math.Clamp(u, 0, Width - 1.01), (float)Math.Clamp(v, 0, Height - 1.01));

    public ReadOnlySpan<byte> Row(int v) => new(_data + (v * _stride), Width);

    public bool Holds(double u, double v) => u >= 0 && v >= 0 && u <= Width - 1 && v <= Height - 1;

    /// <summary>True for a place of the strip that lies in the photo: beyond it the border is repeated.</summary>
    public bool Shows(double u, double v)
    {
        if (!Holds(u, v))
            return false;
        var p = ToPhoto(u, v);
        return p.X >= 0 && p.Y >= 0 && p.X <= Picture.Width - 1 && p.Y <= Picture.Height - 1;
    }

    /// <summary>The whole photo, px.</summary>
    public Size Picture { get; }

    /// <summary><see cref="ToPhoto"/> as a matrix.</summary>
    public Homography PhotoFromStrip
    {
        get
        {
            var (o, x, y) = (ToPhoto(0, 0), ToPhoto(1, 0), ToPhoto(0, 1));
            return new Homography([x.X - o.X, y.X - o.X, o.X, x.Y - o.Y, y.Y - o.Y, o.Y, 0, 0, 1]);
        }
    }

    public PointPx ToPhoto(double u, double v) => GrayPyramid.ToPhoto(_origin + (_along * (u / _zoom)) + (_across * (v / _zoom)), _level);

    public void Dispose() => _pixels.Dispose();

    /// <summary>How the row lies to a lens.</summary>
    public LineDistortion LensOf(RuleOptics optics)
    {
        var foot = ToPhoto(0, MiddleV);
        var d = (optics.Axis - foot) * (1 / PhotoPxPerStripPx);
        var turn = Math.Sign((_along.X * _across.Y) - (_along.Y * _across.X));
        return new LineDistortion(
            (d.X * _along.X) + (d.Y * _along.Y),
            -((_along.X * d.Y) - (_along.Y * d.X)) * turn,
            optics.RadiusPx / PhotoPxPerStripPx);
    }

    /// <summary>The farthest distance up to <paramref name="wanted"/> along the line that still lies in the picture.</summary>
    private static double Inside(Mat picture, PointPx from, PointPx direction, double wanted)
    {
        var t = wanted;
        foreach (var (p, d, size) in new[] { (from.X, direction.X, picture.Width - 1.0), (from.Y, direction.Y, picture.Height - 1.0) })
        {
            if (Math.Abs(d) < 1e-9)
                continue;
            var edge = (wanted > 0) == (d > 0) ? (size - p) / d : -p / d;
            t = wanted > 0 ? Math.Min(t, edge) : Math.Max(t, edge);
        }

        return t;
    }
}
