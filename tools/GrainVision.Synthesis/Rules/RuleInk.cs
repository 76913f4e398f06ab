using GrainVision.Grading.Quantities;
using SkiaSharp;

namespace GrainVision.Synthesis.Rules;

/// <summary>The lines and numerals of a rule as a grey picture over the part that shows: 0 is ground, 255 is ink.</summary>
internal static class RuleInk
{
    /// <summary>The picture, and the mm along the rule at which it starts.</summary>
    public static (Picture Ink, double FromMm) Draw(RulePhotoSpec spec, double fromMm, double toMm, double pixelsPerMm)
    {
        var r = new SeededRandom((ulong)spec.Seed).Fork("ink");
        var width = Math.Max(8, (int)Math.Ceiling((toMm - fromMm) * pixelsPerMm));
        var height = (int)Math.Ceiling(spec.WidthMm * pixelsPerMm);
        using var bitmap = new SKBitmap(new SKImageInfo(width, height, SKColorType.Gray8, SKAlphaType.Opaque));
        using var canvas = new SKCanvas(bitmap);
        canvas.Clear(SKColors.Black);
        canvas.Scale((float)pixelsPerMm);
        canvas.Translate((float)-fromMm, 0);
        using var ink = new SKPaint { Color = SKColors.White, IsAntialias = true, Style = SKPaintStyle.Stroke, StrokeJoin = SKStrokeJoin.Round };
        var most = spec.Back is null ? 0.75 * spec.WidthMm : 0.48 * spec.WidthMm;
        Edge(canvas, ink, spec, spec.Front, 0, 1, most, r.Fork("front"));
        if (spec.Back is { } back)
            Edge(canvas, ink, spec, back, spec.WidthMm, -1, most, r.Fork("back"));
        canvas.Flush();
        return (new Picture(width, height, 1, bitmap.GetPixelSpan().ToArray(), bitmap.RowBytes, pixelsPerMm), fromMm);
    }

    private static void Edge(SKCanvas canvas, SKPaint ink, RulePhotoSpec spec, RuleEdge edge, double edgeY, int inward, double most, SeededRandom r)
    {
        ink.StrokeCap = SKStrokeCap.Butt;
        float Y(double depth) => (float)(edgeY + (inward * depth));
        var end = 0.0;
        var squeeze = Math.Min(1, (most - edge.SetBackMm - (edge.NumeralMm > 0 && !edge.NumeralBeside ? edge.NumeralMm + 0.5 : 0)) / edge.LengthMm(0));
        for (var i = 0; i * edge.StepMm <= spec.LengthMm + 1e-9; i++)
        {
            ink.StrokeWidth = (float)edge.LineMm;

            // Half a hundredth of a mm: engraved and printed lines alike scatter a little.
            var x = (float)((i * edge.StepMm) + r.Normal(0, 0.005));
            var length = edge.LengthMm(i) * squeeze;
            end = Math.Max(end, length);
            canvas.DrawLine(x, Y(edge.SetBackMm), x, Y(edge.SetBackMm + length), ink);
        }

        if (r.Chance(0.12))
            canvas.DrawLine(0, Y(edge.SetBackMm), (float)spec.LengthMm, Y(edge.SetBackMm), ink);
        if (edge.NumeralMm <= 0)
            return;
        ink.StrokeCap = r.Chance(0.5) ? SKStrokeCap.Round : SKStrokeCap.Butt;
        ink.StrokeWidth = (float)(edge.NumeralMm * r.Uniform(0.09, 0.2));
        var tens = !edge.IsInch && r.Chance(0.3);
        for (var i = 0; i * edge.PerMajor * edge.StepMm < spec.LengthMm - 1; i++)
        {
            var number = i + edge.FirstNumeral;
            var text = tens ? $"{number * 10}" : $"{number}";
            var size = (float)edge.NumeralMm;
            var wide = StrokeFont.WidthOf(text, size);
            var at = (float)(i * edge.PerMajor * edge.StepMm);
            var x = edge.NumeralBeside ? at + (0.25f * size) : at - (wide / 2);
            var depth = edge.SetBackMm + end + (edge.NumeralBeside ? -size : 0.5);
            StrokeFont.Draw(canvas, text, x, inward > 0 ? Y(depth) : Y(depth + size), size, ink);
        }
    }
}
