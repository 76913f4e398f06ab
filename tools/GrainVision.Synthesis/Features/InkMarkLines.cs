using SkiaSharp;

namespace GrainVision.Synthesis;

/// <summary>Longer marks by hand: a ruled line, handwriting, a thick bar of crayon.</summary>
internal sealed partial class InkMark
{
    /// <summary>A line or bar along a direction, worn here and there.</summary>
    public static InkMark Line(SeededRandom random, double x, double y, double lengthMm, double angleRad)
    {
        var crayon = random.Chance(0.35);
        var width = crayon ? random.Uniform(1.5, 6) : random.Uniform(0.25, 0.9);
        var sag = (float)random.Normal(0, 0.01 * lengthMm);
        var height = (4 * width) + (2 * Math.Abs(sag)) + 2;
        var strokes = random.Chance(0.2) ? 2 : 1;
        var picture = Draw(lengthMm, height, 10, (canvas, paint) =>
        {
            paint.StrokeWidth = (float)width;
            float l = (float)lengthMm, m = (float)width, mid = (float)height / 2;
            for (var i = 0; i < strokes; i++)
            {
                using var build = new SKPathBuilder();
                build.MoveTo(m, mid + (i * 0.8f * m));
                build.QuadTo(l / 2, mid + sag + (i * 0.8f * m), l - m, mid + (i * 0.5f * m));
                using var path = build.Detach();
                canvas.DrawPath(path, paint);
            }
        });
        return new InkMark(picture, angleRad, crayon ? (float)random.Uniform(0.5, 0.9) : (float)random.Uniform(0.3, 0.75), Ink(random, crayon), true)
        {
            Harmless = "pencil-mark", CentreX = x, CentreY = y, ReachX = lengthMm, ReachY = lengthMm,
        };
    }

    /// <summary>Handwriting that means nothing: loops and strokes of one pen.</summary>
    public static InkMark Scrawl(SeededRandom random, double x, double y, double lengthMm, double angleRad)
    {
        var crayon = random.Chance(0.3);
        var height = lengthMm * random.Uniform(0.2, 0.5);
        var width = crayon ? random.Uniform(1.2, 2.5) : random.Uniform(0.3, 0.8);
        var turns = 4 + random.Index(8);
        var points = new List<(float X, float Y)>();
        for (var i = 0; i <= turns; i++)
            points.Add(((float)((0.08 + (0.84 * i / turns) + random.Normal(0, 0.03)) * lengthMm), (float)(random.Uniform(0.12, 0.88) * height)));
        var loops = random.Chance(0.6);
        var picture = Draw(lengthMm, height, 10, (canvas, paint) =>
        {
            paint.StrokeWidth = (float)width;
            using var build = new SKPathBuilder();
            build.MoveTo(points[0].X, points[0].Y);
            for (var i = 1; i < points.Count; i++)
            {
                if (loops)
                    build.CubicTo(points[i - 1].X + (float)(0.15 * lengthMm), points[i - 1].Y, points[i].X - (float)(0.15 * lengthMm), points[i].Y, points[i].X, points[i].Y);
                else
                    build.LineTo(points[i].X, points[i].Y);
            }

            using var path = build.Detach();
            canvas.DrawPath(path, paint);
        });
        return new InkMark(picture, angleRad, crayon ? (float)random.Uniform(0.5, 0.85) : (float)random.Uniform(0.3, 0.75), Ink(random, crayon), true)
        {
            Harmless = "pencil-mark", CentreX = x, CentreY = y, ReachX = lengthMm, ReachY = lengthMm,
        };
    }

    private static (float B, float G, float R) Ink(SeededRandom random, bool crayon) => crayon
        ? random.Pick((0.03f, 0.04f, 0.45f), (0.35f, 0.10f, 0.04f), (0.02f, 0.02f, 0.02f), (0.10f, 0.35f, 0.06f), (0.75f, 0.75f, 0.75f), (0.05f, 0.45f, 0.6f))
        : random.Pick((0.07f, 0.07f, 0.07f), (0.07f, 0.07f, 0.07f), (0.30f, 0.08f, 0.05f), (0.02f, 0.02f, 0.02f));
}
