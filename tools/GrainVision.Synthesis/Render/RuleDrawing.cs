using GrainVision.Grading.Findings;
using SkiaSharp;

namespace GrainVision.Synthesis;

/// <summary>A steel rule to be laid beside the piece.</summary>
/// <param name="Unit">Unit of the edge towards the piece.</param>
/// <param name="LengthMm">Length, mm.</param>
/// <param name="WidthMm">Width, mm.</param>
/// <param name="FinestParts">
/// Finest graduation: parts of a millimetre (1 or 2) or of an inch: 16 or 32; or 20, 30, 40, 50, 60 of an engineer's scale, whose fifths and tenths are
/// longer and whose tenths are numbered, so that it looks like millimetres.
/// </param>
/// <param name="OtherUnit">Unit of the far edge; null for a blank edge.</param>
public sealed record RuleSpec(SteelRuleUnit Unit, double LengthMm, double WidthMm, int FinestParts, SteelRuleUnit? OtherUnit)
{
    public static RuleSpec Metric { get; } = new(SteelRuleUnit.Mm, 300, 25, 1, null);

    public static RuleSpec Inch { get; } = new(SteelRuleUnit.Inch, 12 * 25.4, 25.4, 16, null);

    /// <summary>True for an engineer's scale.</summary>
    public bool IsEngineers => Unit == SteelRuleUnit.Inch && FinestParts % 10 == 0;
}

/// <summary>
/// Draws a rule's engraving as a grey picture: 0 is bare steel, 255 is blackened graving. Tick lengths follow the usual
/// hierarchy (1-5-10 mm; 1/16-1/8-1/4-1/2-1 in); common practice, no source.
/// </summary>
internal static class RuleDrawing
{
    public static Picture Draw(RuleSpec spec, double pixelsPerMm)
    {
        var width = (int)Math.Ceiling(spec.LengthMm * pixelsPerMm);
        var height = (int)Math.Ceiling(spec.WidthMm * pixelsPerMm);
        using var bitmap = new SKBitmap(new SKImageInfo(width, height, SKColorType.Gray8, SKAlphaType.Opaque));
        using var canvas = new SKCanvas(bitmap);
        canvas.Clear(SKColors.Black);
        canvas.Scale((float)pixelsPerMm);
        using var ink = new SKPaint { Color = SKColors.White, IsAntialias = true, Style = SKPaintStyle.Stroke, StrokeCap = SKStrokeCap.Round, StrokeJoin = SKStrokeJoin.Round };
        Edge(canvas, ink, spec.Unit, spec.FinestParts, spec.LengthMm, 0, 1, spec.IsEngineers);
        if (spec.OtherUnit is { } other)
            Edge(canvas, ink, other, other == SteelRuleUnit.Mm ? 1 : 32, spec.LengthMm, (float)spec.WidthMm, -1);
        canvas.Flush();
        return new Picture(width, height, 1, bitmap.GetPixelSpan().ToArray(), bitmap.RowBytes, pixelsPerMm);
    }

    private static void Edge(SKCanvas canvas, SKPaint ink, SteelRuleUnit unit, int parts, double lengthMm, float edgeY, int inward, bool tens = false)
    {
        var step = unit == SteelRuleUnit.Mm ? 1.0 / parts : 25.4 / parts;
        var perMajor = tens ? 10 : unit == SteelRuleUnit.Mm ? 10 * parts : parts;
        ink.StrokeCap = SKStrokeCap.Butt;
        for (var i = 0; i * step <= lengthMm + 1e-9; i++)
        {
            var x = (float)(i * step);
            var length = tens ? MetricTick(i, 1) : unit == SteelRuleUnit.Mm ? MetricTick(i, parts) : InchTick(i, parts);
            ink.StrokeWidth = i % perMajor == 0 ? 0.20f : 0.16f;
            canvas.DrawLine(x, edgeY, x, edgeY + (inward * length), ink);
        }

        ink.StrokeCap = SKStrokeCap.Round;
        ink.StrokeWidth = 0.30f;
        var major = perMajor * step;
        for (var i = 1; i * major < lengthMm - 2; i++)
        {
            var text = unit == SteelRuleUnit.Mm ? $"{i * 10}" : $"{i}";
            var high = tens || unit == SteelRuleUnit.Mm ? 2.4f : 3.6f;
            var x = (float)(i * major) - (StrokeFont.WidthOf(text, high) / 2);
            var gap = tens || unit == SteelRuleUnit.Mm ? 7.0f : 9.6f;
            StrokeFont.Draw(canvas, text, x, inward > 0 ? edgeY + gap : edgeY - gap - high, high, ink);
        }

        // The far edge is labelled at the far end, where it does not meet the near edge's label.
        var labelX = inward > 0 ? 1.8f : (float)lengthMm - 7;
        if (unit == SteelRuleUnit.Mm)
            StrokeFont.Draw(canvas, "mm", labelX, inward > 0 ? edgeY + 11.2f : edgeY - 13.4f, 2.2f, ink);
        else
            StrokeFont.Draw(canvas, $"{parts}", labelX, inward > 0 ? edgeY + 9.6f : edgeY - 12f, 2.2f, ink);
    }

    private static float MetricTick(int i, int parts) =>
        i % (10 * parts) == 0 ? 6.2f : i % (5 * parts) == 0 ? 5.0f : i % parts == 0 ? 3.6f : 2.4f;

    private static float InchTick(int i, int parts) =>
        i % parts == 0 ? 9.0f : i % (parts / 2) == 0 ? 7.2f : i % (parts / 4) == 0 ? 5.8f : i % (parts / 8) == 0 ? 4.6f : i % (parts / 16) == 0 ? 3.4f : 2.4f;
}
