using SkiaSharp;

namespace GrainVision.Synthesis;

/// <summary>Letters and lines on the wood, drawn once as a grey picture: pencil, crayon, mill stamp. No blemish.</summary>
internal sealed partial class InkMark : Feature
{
    private readonly Picture _picture;
    private readonly double _angleRad;
    private readonly float _strength;
    private readonly (float B, float G, float R) _ink;
    private readonly bool _dry;

    private InkMark(Picture picture, double angleRad, float strength, (float B, float G, float R) ink, bool dry)
    {
        _picture = picture;
        _angleRad = angleRad;
        _strength = strength;
        _ink = ink;
        _dry = dry;
    }

    public override float Level(in WoodPoint p)
    {
        var (x, y) = Local(p);
        double halfX = _picture.Width / _picture.PixelsPerMm / 2, halfY = _picture.Height / _picture.PixelsPerMm / 2;
        return (float)Math.Min(halfX - Math.Abs(x), halfY - Math.Abs(y));
    }

    public override void Paint(in WoodPoint p, float level, ref Light light)
    {
        if (level < 0)
            return;
        var (x, y) = Local(p);
        var k = _picture.PixelsPerMm;
        var v = _picture.At((float)((x * k) + (_picture.Width / 2.0)), (float)((y * k) + (_picture.Height / 2.0)), 0) / 255f;
        if (v <= 0.01f)
            return;
        // Graphite and worn stamps catch only on the high fibres.
        var catches = _dry ? Math.Clamp(0.75f + (0.9f * Noise.At(p.X / 0.35f, p.Y / 0.22f, 33.5f)), 0, 1) : Math.Clamp(0.9f + (0.5f * Noise.At(p.X / 3f, p.Y / 3f, 35.5f)), 0, 1);
        light.Fade(v * _strength * catches, _ink.B, _ink.G, _ink.R);
    }

    public override bool Shows(in WoodPoint p, float level)
    {
        if (level < 0)
            return false;
        var (x, y) = Local(p);
        var k = _picture.PixelsPerMm;
        return _picture.At((float)((x * k) + (_picture.Width / 2.0)), (float)((y * k) + (_picture.Height / 2.0)), 0) > 90;
    }

    private (double X, double Y) Local(in WoodPoint p)
    {
        var (sin, cos) = Math.SinCos(_angleRad);
        double dx = p.X - CentreX, dy = p.Y - CentreY;
        return ((dx * cos) + (dy * sin), (dy * cos) - (dx * sin));
    }

    /// <summary>A mill's or yard's stamp: letters and figures without meaning.</summary>
    public static InkMark Stamp(SeededRandom random, double x, double y, double heightMm, double angleRad)
    {
        const string letters = "ABCDEFGHKLMNPRSTUWXY";
        var text = $"{letters[random.Index(letters.Length)]}{letters[random.Index(letters.Length)]}-{random.Index(90) + 10}";
        if (random.Chance(0.5))
            text += $" KD{random.Index(8) + 8}";
        var ink = random.Pick((0.10f, 0.03f, 0.02f), (0.02f, 0.02f, 0.02f), (0.03f, 0.02f, 0.16f));
        var framed = random.Chance(0.5);
        const double k = 12;
        double w = StrokeFont.WidthOf(text, (float)heightMm) + (heightMm * 0.9), h = heightMm * 1.9;
        var picture = Draw(w, h, k, (canvas, paint) =>
        {
            paint.StrokeWidth = (float)heightMm * 0.13f;
            StrokeFont.Draw(canvas, text, (float)heightMm * 0.45f, (float)heightMm * 0.45f, (float)heightMm, paint);
            if (framed)
                canvas.DrawRect(0.3f, 0.3f, (float)w - 0.6f, (float)h - 0.6f, paint);
        });
        var reach = Math.Max(w, h);
        return new InkMark(picture, angleRad, (float)random.Uniform(0.45, 0.85), ink, false) { Harmless = "stamp", CentreX = x, CentreY = y, ReachX = reach, ReachY = reach };
    }

    /// <summary>A pencil or crayon line, cross or figure.</summary>
    public static InkMark Pencil(SeededRandom random, double x, double y, double lengthMm, double angleRad)
    {
        var crayon = random.Chance(0.25);
        var width = crayon ? random.Uniform(1.5, 3) : random.Uniform(0.35, 0.8);
        var shape = random.Index(3);
        var height = shape == 0 ? width * 6 : lengthMm * 0.45;
        const double k = 12;
        var number = $"{random.Index(90) + 10}";
        var wave = (float)random.Uniform(-1, 1);
        var picture = Draw(lengthMm, height, k, (canvas, paint) =>
        {
            paint.StrokeWidth = (float)width;
            float l = (float)lengthMm, h = (float)height, m = (float)width;
            if (shape == 0)
                canvas.DrawLine(m, (h / 2) + (wave * m), l - m, (h / 2) - (wave * m), paint);
            else if (shape == 1)
                StrokeFont.Draw(canvas, number, m, m, h - (2 * m), paint);
            else
            {
                canvas.DrawLine(m, m, h - m, h - m, paint);
                canvas.DrawLine(m, h - m, h - m, m, paint);
            }
        });
        var ink = crayon ? random.Pick((0.03f, 0.04f, 0.45f), (0.35f, 0.10f, 0.04f), (0.02f, 0.02f, 0.02f)) : (0.07f, 0.07f, 0.07f);
        return new InkMark(picture, angleRad, crayon ? 0.75f : (float)random.Uniform(0.35, 0.7), ink, true) { Harmless = "pencil-mark", CentreX = x, CentreY = y, ReachX = lengthMm, ReachY = lengthMm };
    }

    private static Picture Draw(double widthMm, double heightMm, double k, Action<SKCanvas, SKPaint> draw)
    {
        int w = Math.Max(4, (int)Math.Ceiling(widthMm * k)), h = Math.Max(4, (int)Math.Ceiling(heightMm * k));
        using var bitmap = new SKBitmap(new SKImageInfo(w, h, SKColorType.Gray8, SKAlphaType.Opaque));
        using var canvas = new SKCanvas(bitmap);
        canvas.Clear(SKColors.Black);
        canvas.Scale((float)k);
        using var paint = new SKPaint { Color = SKColors.White, IsAntialias = true, Style = SKPaintStyle.Stroke, StrokeCap = SKStrokeCap.Round, StrokeJoin = SKStrokeJoin.Round };
        draw(canvas, paint);
        canvas.Flush();
        return new Picture(w, h, 1, bitmap.GetPixelSpan().ToArray(), bitmap.RowBytes, k);
    }
}
