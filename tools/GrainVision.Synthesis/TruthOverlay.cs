using System.Runtime.InteropServices;
using GrainVision.Grading.Quantities;
using SkiaSharp;

namespace GrainVision.Synthesis;

/// <summary>Draws the truth over the photo, to check one against the other by eye.</summary>
public static class TruthOverlay
{
    /// <summary>A PNG of the photo with outline, path, boundaries, pith, grain lines and blemish outlines.</summary>
    public static byte[] Png(SynthesisedPhoto photo)
    {
        ArgumentNullException.ThrowIfNull(photo);
        var copy = (byte[])photo.Bgr.Clone();
        using var bitmap = new SKBitmap(new SKImageInfo(photo.Width, photo.Height, SKColorType.Bgra8888, SKAlphaType.Opaque));
        var to = MemoryMarshal.Cast<byte, uint>(bitmap.GetPixelSpan());
        for (int i = 0, j = 0; i < to.Length; i++, j += 3)
            to[i] = copy[j] | ((uint)copy[j + 1] << 8) | ((uint)copy[j + 2] << 16) | 0xFF000000u;
        using var canvas = new SKCanvas(bitmap);
        // Pixel centres are whole numbers in the contract; Skia's lie at a half.
        canvas.Translate(0.5f, 0.5f);
        var truth = photo.Truth;
        Line(canvas, truth.Outline, SKColors.Yellow, true);
        if (truth.Scale.PropOutline is { } prop)
            Line(canvas, prop, SKColors.Magenta, true);
        if (truth.Rings is { } rings)
        {
            Line(canvas, rings.Path, SKColors.Cyan, false);
            foreach (var b in rings.Boundaries)
                Cross(canvas, b, SKColors.Lime);
        }

        if (truth.RingAngle is { } angle)
            Cross(canvas, angle.Pith, SKColors.Red);
        foreach (var trace in truth.Grain?.Traces ?? [])
            Line(canvas, trace, SKColors.Cyan, false);
        foreach (var blemish in truth.Blemishes)
            Line(canvas, blemish.Outline, SKColors.Red, true);
        foreach (var other in truth.NonBlemishes)
            Line(canvas, other.Outline, SKColors.Blue, true);
        canvas.Flush();
        using var data = bitmap.Encode(SKEncodedImageFormat.Png, 100) ?? throw new InvalidOperationException("Skia could not encode the overlay.");
        return data.ToArray();
    }

    private static void Line(SKCanvas canvas, IReadOnlyList<PointPx> points, SKColor colour, bool closed)
    {
        using var paint = new SKPaint { Color = colour, IsAntialias = true, Style = SKPaintStyle.Stroke, StrokeWidth = 1 };
        for (var i = closed ? 0 : 1; i < points.Count; i++)
        {
            var a = points[i == 0 ? points.Count - 1 : i - 1];
            canvas.DrawLine((float)a.X, (float)a.Y, (float)points[i].X, (float)points[i].Y, paint);
        }
    }

    private static void Cross(SKCanvas canvas, PointPx p, SKColor colour)
    {
        using var paint = new SKPaint { Color = colour, IsAntialias = true, Style = SKPaintStyle.Stroke, StrokeWidth = 1 };
        canvas.DrawLine((float)p.X - 4, (float)p.Y - 4, (float)p.X + 4, (float)p.Y + 4, paint);
        canvas.DrawLine((float)p.X - 4, (float)p.Y + 4, (float)p.X + 4, (float)p.Y - 4, paint);
    }
}
