using SkiaSharp;

namespace GrainVision.Measuring.Tests.Scale;

/// <summary>One graduated edge: the step, and how long each graduation is.</summary>
internal sealed record DrawnEdge(double StepMm, Func<int, double> LengthMm)
{
    public static DrawnEdge Millimetres { get; } = new(1, k => k % 10 == 0 ? 6.5 : k % 5 == 0 ? 4.8 : 3.2);

    public static DrawnEdge HalfMillimetres { get; } = new(0.5, k => k % 20 == 0 ? 7 : k % 10 == 0 ? 5.5 : k % 2 == 0 ? 4 : 2.6);

    public static DrawnEdge Eighths { get; } = new(25.4 / 8, k => k % 8 == 0 ? 8 : k % 4 == 0 ? 6.3 : k % 2 == 0 ? 4.8 : 3.4);

    public static DrawnEdge Sixteenths { get; } = new(25.4 / 16, k => k % 16 == 0 ? 8 : k % 8 == 0 ? 6.4 : k % 4 == 0 ? 5 : k % 2 == 0 ? 4 : 3);

    public static DrawnEdge ThirtySeconds { get; } = new(
        25.4 / 32, k => k % 32 == 0 ? 8 : k % 16 == 0 ? 6.6 : k % 8 == 0 ? 5.4 : k % 4 == 0 ? 4.2 : k % 2 == 0 ? 3.2 : 2.3);

    public static DrawnEdge TenthsOfAnInch { get; } = new(2.54, k => k % 10 == 0 ? 7 : k % 5 == 0 ? 5 : 3.2);

    public static DrawnEdge LongTenthsOfAnInch { get; } = new(2.54, k => k % 10 == 0 ? 9.5 : k % 5 == 0 ? 7 : 4.8);

    public static DrawnEdge FiftiethsOfAnInch { get; } = new(25.4 / 50, k => k % 50 == 0 ? 8 : k % 25 == 0 ? 6.4 : k % 5 == 0 ? 4.8 : 2.6);

    public static DrawnEdge HundredthsOfAnInch { get; } = new(25.4 / 100, k => k % 100 == 0 ? 5.6 : k % 50 == 0 ? 4.8 : k % 10 == 0 ? 3.6 : k % 5 == 0 ? 2.4 : 1.6);

    public static DrawnEdge EqualLines { get; } = new(1, _ => 4);
}

/// <summary>
/// Draws a steel rule in mm: graduated edge along y = 0 from x = 0, body towards +y. Invented, not any maker's: pale metal, a
/// brushed sheen, dark engraved lines 0.18 mm wide, strokes where figures stand.
/// </summary>
internal static class RuleDrawing
{
    public const double MarginMm = 4;

    public static void Draw(SKCanvas canvas, double lengthMm, double widthMm, DrawnEdge front, DrawnEdge? back, byte metal, byte ink, bool figures = true)
    {
        using var shader = SKShader.CreateLinearGradient(
            new SKPoint(0, 0), new SKPoint((float)lengthMm, (float)widthMm),
            [new SKColor(metal, metal, metal), new SKColor((byte)(metal * 0.85), (byte)(metal * 0.85), (byte)(metal * 0.86)), new SKColor(metal, metal, metal)],
            SKShaderTileMode.Clamp);
        using var body = new SKPaint { Shader = shader, IsAntialias = true };
        canvas.DrawRect((float)-MarginMm, 0, (float)(lengthMm + (2 * MarginMm)), (float)widthMm, body);
        using var line = new SKPaint { Color = new SKColor(ink, ink, ink), IsStroke = true, StrokeWidth = 0.18f, IsAntialias = true };
        Ticks(canvas, line, lengthMm, front, 0, 1);
        if (back is not null)
            Ticks(canvas, line, lengthMm, back, widthMm, -1);
        if (!figures)
            return;
        using var stroke = new SKPaint { Color = new SKColor(ink, ink, ink), IsStroke = true, StrokeWidth = 0.35f, IsAntialias = true };
        Figures(canvas, stroke, lengthMm, front.StepMm >= 1 && front.StepMm < 1.2 || front.StepMm == 0.5 ? 10 : 25.4, 8.5);
    }

    private static void Ticks(SKCanvas canvas, SKPaint line, double lengthMm, DrawnEdge edge, double y, int sign)
    {
        for (var k = 0; k * edge.StepMm <= lengthMm + 1e-9; k++)
            canvas.DrawLine((float)(k * edge.StepMm), (float)y, (float)(k * edge.StepMm), (float)(y + (sign * edge.LengthMm(k))), line);
    }

    /// <summary>Not letters, but strokes of their size: an eight-like box.</summary>
    private static void Figures(SKCanvas canvas, SKPaint stroke, double lengthMm, double everyMm, double topMm)
    {
        for (var x = everyMm; x <= lengthMm; x += everyMm)
        {
            canvas.DrawRect((float)(x - 0.8), (float)topMm, 1.6f, 2.6f, stroke);
            canvas.DrawLine((float)(x - 0.8), (float)(topMm + 1.3), (float)(x + 0.8), (float)(topMm + 1.3), stroke);
        }
    }
}
