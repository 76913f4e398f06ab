using SkiaSharp;

namespace GrainVision.Presentation.Pictures;

/// <summary>Plane geometry on canvas points.</summary>
internal static class Polygon
{
    /// <summary>Even-odd rule.</summary>
    public static bool Holds(ReadOnlySpan<SKPoint> polygon, SKPoint p)
    {
        var inside = false;
        for (int i = 0, j = polygon.Length - 1; i < polygon.Length; j = i++)
        {
            var (a, b) = (polygon[i], polygon[j]);
            if (a.Y > p.Y != b.Y > p.Y && p.X < ((b.X - a.X) * (p.Y - a.Y) / (b.Y - a.Y)) + a.X)
                inside = !inside;
        }

        return inside;
    }

    public static SKPoint Middle(ReadOnlySpan<SKPoint> points)
    {
        var sum = SKPoint.Empty;
        foreach (var p in points)
            sum += p;
        return new SKPoint(sum.X / points.Length, sum.Y / points.Length);
    }

    /// <summary>Unit vector from a to b; null where they coincide.</summary>
    public static SKPoint? Direction(SKPoint a, SKPoint b)
    {
        var length = SKPoint.Distance(a, b);
        return length < 1e-3f ? null : new SKPoint((b.X - a.X) / length, (b.Y - a.Y) / length);
    }

    public static SKPoint Along(SKPoint from, SKPoint direction, float distance) =>
        new(from.X + (direction.X * distance), from.Y + (direction.Y * distance));

    public static SKPoint Turned(SKPoint v, double radians)
    {
        var (sin, cos) = Math.SinCos(radians);
        return new SKPoint((float)((v.X * cos) - (v.Y * sin)), (float)((v.X * sin) + (v.Y * cos)));
    }

    /// <summary>Left-hand normal on a canvas whose y runs down: a quarter turn.</summary>
    public static SKPoint Normal(SKPoint v) => new(-v.Y, v.X);

    /// <summary>How far along the ray it meets the segment a-b, px; null where it does not (or lies behind).</summary>
    public static float? Meets(SKPoint from, SKPoint direction, SKPoint a, SKPoint b)
    {
        var side = b - a;
        var cross = (direction.X * side.Y) - (direction.Y * side.X);
        if (MathF.Abs(cross) < 1e-6f)
            return null;
        var offset = a - from;
        var t = ((offset.X * side.Y) - (offset.Y * side.X)) / cross;
        var s = ((offset.X * direction.Y) - (offset.Y * direction.X)) / cross;
        return t > 0 && s is >= 0 and <= 1 ? t : null;
    }

    /// <summary>Direction of the polyline at its segment nearest to p; null where it has no length.</summary>
    public static SKPoint? DirectionNear(ReadOnlySpan<SKPoint> line, SKPoint p)
    {
        SKPoint? best = null;
        var least = float.MaxValue;
        for (var i = 1; i < line.Length; i++)
        {
            if (Direction(line[i - 1], line[i]) is not { } d)
                continue;
            var length = SKPoint.Distance(line[i - 1], line[i]);
            var t = Math.Clamp(((p.X - line[i - 1].X) * d.X) + ((p.Y - line[i - 1].Y) * d.Y), 0, length);
            var distance = SKPoint.Distance(p, Along(line[i - 1], d, t));
            if (distance < least)
                (best, least) = (d, distance);
        }

        return best;
    }

    /// <summary>The polyline moved sideways by a distance (negative: to the other side).</summary>
    public static SKPoint[] Beside(ReadOnlySpan<SKPoint> line, float distance)
    {
        var moved = new List<SKPoint>(line.Length);
        for (var i = 0; i < line.Length; i++)
        {
            if (Direction(line[Math.Max(0, i - 1)], line[Math.Min(line.Length - 1, i + 1)]) is { } d)
                moved.Add(Along(line[i], Normal(d), distance));
        }

        return [.. moved];
    }
}
