using GrainVision.Grading.Quantities;
using GrainVision.Measuring.Intake;
using GrainVision.Measuring.Section;
using OpenCvSharp;

namespace GrainVision.Measuring.Blemishes;

/// <summary>
/// Everything that candidates are looked for and described by, one value a pixel of the reduced surface, row by row.
/// </summary>
internal sealed class SurfaceChannels
{
    /// <summary>0.6: quantile of the greys along a line that is taken for clear wood; above the median, since blemishes are mostly dark.</summary>
    private const double GreyQuantile = 0.6;

    /// <summary>0.3 mm: smoothing of the darkness; a check of 0.3 mm stays visible, the sensor's noise does not.</summary>
    private const double DarknessSigmaMm = 0.3;

    /// <summary>0.7 mm: smoothing of colours, which a JPEG keeps at half the resolution.</summary>
    private const double ColourSigmaMm = 0.7;

    /// <summary>15 mm: the light on a bench changes over longer distances than this, wood over shorter ones.</summary>
    private const double LightSigmaMm = 15;

    /// <summary>4 %: share of the surface that may be latewood of the darkest kind; what is darker still is no ring.</summary>
    private const double FloorShare = 0.04;

    private SurfaceChannels(LineGrid grid) => Grid = grid;

    public LineGrid Grid { get; }

    public int Width => Grid.Width;

    public int Height => Grid.Height;

    /// <summary>Not 0 a millimetre or more inside the section's rim: nearer to it the saw's edge looks like anything.</summary>
    public required byte[] Inner { get; init; }

    /// <summary>Grey, 0 to 255.</summary>
    public required float[] Grey { get; init; }

    /// <summary>Grey of clear wood on the same growth line.</summary>
    public required float[] Background { get; init; }

    /// <summary>Smoothed darkness against the line, in robust deviations of the surface.</summary>
    public required float[] Darkness { get; init; }

    /// <summary>Robust deviation of the darkness, grey levels.</summary>
    public required float DarknessDeviation { get; init; }

    /// <summary>Grey over the grey of clear wood round it: 1 is clear wood, 0 is black.</summary>
    public required float[] Relative { get; init; }

    /// <summary><see cref="Relative"/> of the darkest latewood.</summary>
    public required float Floor { get; init; }

    /// <summary>How far below the darkest latewood, in quarters of the latewood's own contrast.</summary>
    public required float[] BelowFloor { get; init; }

    /// <summary>CIELAB a against the line's.</summary>
    public required float[] DeltaA { get; init; }

    /// <summary>CIELAB b against the line's.</summary>
    public required float[] DeltaB { get; init; }

    /// <summary>Colour against the line's, in robust deviations of the surface.</summary>
    public required float[] Colour { get; init; }

    /// <summary>Grey-level change along +u, a pixel.</summary>
    public required float[] GradientU { get; init; }

    /// <summary>Grey-level change along +v, a pixel.</summary>
    public required float[] GradientV { get; init; }

    /// <summary>Direction of the growth line at each pixel, cosine.</summary>
    public required float[] LineCos { get; init; }

    /// <summary>Direction of the growth line at each pixel, sine.</summary>
    public required float[] LineSin { get; init; }

    /// <summary>Smoothed energy of change along the growth lines over its median: 1 on clear wood, far above where the grain is disturbed.</summary>
    public required float[] CrossEnergy { get; init; }

    /// <summary>Share of the light beside it that a place lacks, whichever way it runs: see <see cref="ThinLines"/>.</summary>
    public required float[] Valley { get; init; }

    /// <summary>What a twentieth of the surface exceeds in <see cref="Valley"/>: its own ring lines, pores and grain.</summary>
    public required float UsualValley { get; init; }

    /// <summary>Pixels inside <see cref="Inner"/>; too few say nothing.</summary>
    public required int InnerCount { get; init; }

    public static SurfaceChannels Of(UprightPhoto photo, RectifiedSurface raster, Func<Point2d, double> lineRad, Func<Point2d, double> bendPerMm)
    {
        var grid = LineGrid.Of(raster, lineRad, bendPerMm);
        var pitch = raster.PitchPxPerMm;
        var inner = Erode(photo, raster);
        raster.Grey.GetArray(out float[] grey);
        var background = LineBackground.Of(grey, grid, GreyQuantile);

        var dark = new float[grey.Length];
        for (var i = 0; i < dark.Length; i++)
            dark[i] = background[i] - grey[i];
        var darkness = Smooth(dark, grid.Width, grid.Height, Math.Max(0.8, DarknessSigmaMm * pitch));
        var (middle, deviation) = LowerSpread(darkness, inner, 0.5f);
        for (var i = 0; i < darkness.Length; i++)
            darkness[i] = (darkness[i] - middle) / deviation;

        var light = Smooth(background, grid.Width, grid.Height, LightSigmaMm * pitch, reduce: 8);
        var relative = Smooth(grey, grid.Width, grid.Height, Math.Max(0.6, 0.15 * pitch));
        for (var i = 0; i < relative.Length; i++)
            relative[i] /= Math.Max(8, light[i]);
        var (floor, below) = BelowLatewood(relative, inner);

        var (deltaA, deltaB, colour) = Colours(photo, raster, grid, inner);
        var (gu, gv) = Gradients(raster, pitch);
        var (cos, sin) = Directions(grid);
        var valley = ThinLines.Of(photo, raster);
        return new SurfaceChannels(grid)
        {
            Inner = inner,
            InnerCount = inner.Count(v => v != 0),
            Grey = grey,
            Background = background,
            Darkness = darkness,
            DarknessDeviation = deviation,
            Relative = relative,
            Floor = floor,
            BelowFloor = below,
            DeltaA = deltaA,
            DeltaB = deltaB,
            Colour = colour,
            GradientU = gu,
            GradientV = gv,
            LineCos = cos,
            LineSin = sin,
            Valley = valley,
            UsualValley = Usual(valley, inner),
            CrossEnergy = Cross(gu, gv, cos, sin, grid, inner, pitch),
        };
    }

    /// <summary>
    /// Without the millimetre along the section's own edges. A side along the photo's border is no edge: a knot that the border cuts is seen.
    /// </summary>
    private static byte[] Erode(UprightPhoto photo, RectifiedSurface raster)
    {
        using var inner = raster.Mask.Clone();
        var corners = raster.Plane.CornersPx;
        var thickness = (2 * (int)Math.Ceiling(raster.PitchPxPerMm)) + 1;
        for (var i = 0; i < 4; i++)
        {
            var (a, b) = (corners[i], corners[(i + 1) % 4]);
            if (OnBorder(photo, a, b))
                continue;
            var (from, to) = (raster.FromMm(raster.Plane.CornersMm[i]), raster.FromMm(raster.Plane.CornersMm[(i + 1) % 4]));
            Cv2.Line(inner, new Point((int)Math.Round(from.X), (int)Math.Round(from.Y)), new Point((int)Math.Round(to.X), (int)Math.Round(to.Y)), Scalar.All(0), thickness);
        }

        inner.GetArray(out byte[] values);
        return values;
    }

    /// <summary>True where both corners lie within 2 px of one border of the photo.</summary>
    private static bool OnBorder(UprightPhoto photo, PointPx a, PointPx b) =>
        Math.Max(a.X, b.X) <= 2 || Math.Max(a.Y, b.Y) <= 2 || Math.Min(a.X, b.X) >= photo.Width - 3 || Math.Min(a.Y, b.Y) >= photo.Height - 3;

    /// <summary>Middle and robust deviation from the lower half only: the dark tail is what is looked for.</summary>
    private static (float Middle, float Deviation) LowerSpread(float[] values, byte[] inner, float least)
    {
        var some = SurfaceSample.Of(values, inner);
        if (some.Length == 0)
            return (0, least);
        var middle = SurfaceSample.Nth(some, some.Length / 2);
        return (middle, Math.Max(least, 1.4826f * (middle - SurfaceSample.Nth(some, some.Length / 4))));
    }

    /// <summary>At least 0.03: a surface without any texture still has the sensor's noise.</summary>
    private static float Usual(float[] valley, byte[] inner)
    {
        var some = SurfaceSample.Of(valley, inner);
        return some.Length == 0 ? 0.03f : Math.Max(0.03f, SurfaceSample.Nth(some, (int)(0.95 * (some.Length - 1))));
    }

    private static (float Floor, float[] Below) BelowLatewood(float[] relative, byte[] inner)
    {
        var some = SurfaceSample.Of(relative, inner);
        var floor = some.Length == 0 ? 0.5f : SurfaceSample.Nth(some, (int)(FloorShare * some.Length));
        var middle = some.Length == 0 ? 1 : SurfaceSample.Nth(some, some.Length / 2);
        var step = (0.25f * (middle - floor)) + 0.02f;
        return (floor, [.. relative.Select(r => (floor - r) / step)]);
    }

    private static (float[] DeltaA, float[] DeltaB, float[] Colour) Colours(UprightPhoto photo, RectifiedSurface raster, LineGrid grid, byte[] inner)
    {
        // Half the pitch: colours are soft, and it takes a quarter of the time.
        var size = new Size(Math.Max(1, grid.Width / 2), Math.Max(1, grid.Height / 2));
        using var bgr = raster.Colour(photo);
        using var half = new Mat();
        Cv2.Resize(bgr, half, size, 0, 0, InterpolationFlags.Area);
        using var real = new Mat();
        half.ConvertTo(real, MatType.CV_32FC3, 1 / 255.0);
        using var lab = new Mat();
        Cv2.CvtColor(real, lab, ColorConversionCodes.BGR2Lab);
        using var mask = new Mat();
        Cv2.Resize(raster.Mask, mask, size, 0, 0, InterpolationFlags.Nearest);
        mask.GetArray(out byte[] inside);
        var halfGrid = grid with { Width = size.Width, Height = size.Height, Inside = inside, PitchPxPerMm = grid.PitchPxPerMm * size.Width / grid.Width };

        var planes = Cv2.Split(lab);
        try
        {
            var a = Against(planes[1], halfGrid, grid);
            var b = Against(planes[2], halfGrid, grid);
            var (deviationA, deviationB) = (Spread(a, inner), Spread(b, inner));
            var colour = new float[a.Length];
            for (var i = 0; i < colour.Length; i++)
                colour[i] = MathF.Sqrt(((a[i] * a[i] / (deviationA * deviationA)) + (b[i] * b[i] / (deviationB * deviationB))) / 2);
            return (a, b, colour);
        }
        finally
        {
            foreach (var plane in planes)
                plane.Dispose();
        }
    }

    private static float[] Against(Mat plane, LineGrid halfGrid, LineGrid grid)
    {
        plane.GetArray(out float[] values);
        var background = LineBackground.Of(values, halfGrid, 0.5);
        for (var i = 0; i < values.Length; i++)
            values[i] -= background[i];
        using var delta = Mat.FromPixelData(halfGrid.Height, halfGrid.Width, MatType.CV_32FC1, values);
        using var smooth = new Mat();
        Cv2.GaussianBlur(delta, smooth, new Size(0, 0), Math.Max(0.6, ColourSigmaMm * halfGrid.PitchPxPerMm));
        using var full = new Mat();
        Cv2.Resize(smooth, full, new Size(grid.Width, grid.Height), 0, 0, InterpolationFlags.Linear);
        full.GetArray(out float[] result);
        return result;
    }

    /// <summary>Robust deviation of a two-sided channel; at least 0.6 CIELAB units, under which no eye sees a difference.</summary>
    private static float Spread(float[] values, byte[] inner)
    {
        var some = SurfaceSample.Of([.. values.Select(Math.Abs)], inner);
        return some.Length == 0 ? 0.6f : Math.Max(0.6f, 1.4826f * SurfaceSample.Nth(some, some.Length / 2));
    }

    private static (float[] U, float[] V) Gradients(RectifiedSurface raster, double pitch)
    {
        using var smooth = new Mat();
        Cv2.GaussianBlur(raster.Grey, smooth, new Size(0, 0), Math.Max(0.8, 0.35 * pitch));
        using var gu = new Mat();
        using var gv = new Mat();
        Cv2.Scharr(smooth, gu, MatType.CV_32F, 1, 0, 1 / 32.0);
        Cv2.Scharr(smooth, gv, MatType.CV_32F, 0, 1, 1 / 32.0);
        gu.GetArray(out float[] u);
        gv.GetArray(out float[] v);
        return (u, v);
    }

    private static (float[] Cos, float[] Sin) Directions(LineGrid grid)
    {
        const int cell = 4;
        var (cos, sin) = (new float[grid.Width * grid.Height], new float[grid.Width * grid.Height]);
        for (var cy = 0; cy < grid.Height; cy += cell)
        {
            for (var cx = 0; cx < grid.Width; cx += cell)
            {
                var angle = grid.LineRad(grid.ToMm(cx + (cell / 2.0), cy + (cell / 2.0)));
                var (c, s) = ((float)Math.Cos(angle), (float)Math.Sin(angle));
                for (var y = cy; y < Math.Min(grid.Height, cy + cell); y++)
                {
                    for (var x = cx; x < Math.Min(grid.Width, cx + cell); x++)
                        (cos[(y * grid.Width) + x], sin[(y * grid.Width) + x]) = (c, s);
                }
            }
        }

        return (cos, sin);
    }

    private static float[] Cross(float[] gu, float[] gv, float[] cos, float[] sin, LineGrid grid, byte[] inner, double pitch)
    {
        var energy = new float[gu.Length];
        for (var i = 0; i < energy.Length; i++)
        {
            var along = (gu[i] * cos[i]) + (gv[i] * sin[i]);
            energy[i] = along * along;
        }

        var smooth = Smooth(energy, grid.Width, grid.Height, Math.Max(1, pitch));
        var some = SurfaceSample.Of(smooth, inner);
        // 0.02: energy of a sensor's noise alone after smoothing; below it no surface is.
        var middle = some.Length == 0 ? 1 : Math.Max(0.02f, SurfaceSample.Nth(some, some.Length / 2));
        for (var i = 0; i < smooth.Length; i++)
            smooth[i] /= middle;
        return smooth;
    }

    private static float[] Smooth(float[] values, int width, int height, double sigmaPx, int reduce = 1)
    {
        using var mat = Mat.FromPixelData(height, width, MatType.CV_32FC1, values);
        using var small = new Mat();
        if (reduce > 1)
            Cv2.Resize(mat, small, new Size(Math.Max(1, width / reduce), Math.Max(1, height / reduce)), 0, 0, InterpolationFlags.Area);
        else
            mat.CopyTo(small);
        using var smooth = new Mat();
        Cv2.GaussianBlur(small, smooth, new Size(0, 0), sigmaPx / reduce, borderType: BorderTypes.Replicate);
        if (reduce > 1)
            Cv2.Resize(smooth, smooth, new Size(width, height), 0, 0, InterpolationFlags.Linear);
        smooth.GetArray(out float[] result);
        return result;
    }
}
