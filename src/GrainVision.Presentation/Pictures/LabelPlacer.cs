using SkiaSharp;

namespace GrainVision.Presentation.Pictures;

/// <summary>
/// Finds places for labels: near what they name, beside the wood rather than over it, and not over each other.
/// Greedy and in a fixed order, so that the same measurement gives the same picture.
/// </summary>
internal sealed class LabelPlacer(SKRect bounds, SKPoint[] section)
{
    private const int Directions = 24;
    private const int Steps = 30;
    private readonly List<SKRect> _taken = [];
    private readonly List<SKRect> _labels = [];

    /// <summary>Keeps labels off this place.</summary>
    public void Block(SKRect rect) => _taken.Add(rect);

    public void Block(SKPoint centre, float radius) => Block(new SKRect(centre.X - radius, centre.Y - radius, centre.X + radius, centre.Y + radius));

    /// <summary>The best place for a label of this size, which is then taken.</summary>
    /// <param name="anchor">What the label names, canvas px.</param>
    /// <param name="size">px.</param>
    /// <param name="gap">Least distance from the anchor to the label, px.</param>
    /// <param name="offWood">How many px farther away a label may go to stand beside the wood.</param>
    public SKRect Place(SKPoint anchor, SKSize size, float gap, float offWood)
    {
        anchor = new SKPoint(Math.Clamp(anchor.X, bounds.Left, bounds.Right), Math.Clamp(anchor.Y, bounds.Top, bounds.Bottom));
        var best = Within(SKRect.Create(anchor.X - (size.Width / 2), anchor.Y - (size.Height / 2), size.Width, size.Height));
        var bestCost = float.MaxValue;
        for (var step = 0; step < Steps; step++)
        {
            var distance = gap + (step * size.Height * 0.5f);
            if (distance >= bestCost)
                break;
            for (var i = 0; i < Directions; i++)
            {
                var (sin, cos) = MathF.SinCos(i * MathF.Tau / Directions);
                var reach = distance + (MathF.Abs(cos) * size.Width / 2) + (MathF.Abs(sin) * size.Height / 2);
                var rect = SKRect.Create(anchor.X + (cos * reach) - (size.Width / 2), anchor.Y + (sin * reach) - (size.Height / 2), size.Width, size.Height);
                if (!bounds.Contains(rect))
                    continue;
                var cost = distance + (offWood * ShareOnWood(rect));
                if (cost < bestCost)
                    cost += Crowding(rect) + (Crossings(anchor, rect) * size.Height * 3);
                if (cost < bestCost)
                    (best, bestCost) = (rect, cost);
            }
        }

        Block(best);
        _labels.Add(best);
        BlockLeader(anchor, best);
        return best;
    }

    /// <summary>How many labels a straight leader would run through.</summary>
    private int Crossings(SKPoint anchor, SKRect rect)
    {
        var crossed = 0;
        foreach (var label in _labels)
        {
            for (var i = 1; i < 10; i++)
            {
                if (!label.Contains(new SKPoint(anchor.X + ((rect.MidX - anchor.X) * i / 10), anchor.Y + ((rect.MidY - anchor.Y) * i / 10))))
                    continue;
                crossed++;
                break;
            }
        }

        return crossed;
    }

    private void BlockLeader(SKPoint anchor, SKRect label)
    {
        for (var i = 1; i < 6; i++)
            Block(new SKPoint(anchor.X + ((label.MidX - anchor.X) * i / 6), anchor.Y + ((label.MidY - anchor.Y) * i / 6)), label.Height * 0.1f);
    }

    private SKRect Within(SKRect rect)
    {
        rect.Offset(
            Math.Max(0, bounds.Left - rect.Left) - Math.Max(0, rect.Right - bounds.Right),
            Math.Max(0, bounds.Top - rect.Top) - Math.Max(0, rect.Bottom - bounds.Bottom));
        return rect;
    }

    private float ShareOnWood(SKRect r)
    {
        if (section.Length < 3)
            return 1;
        var on = 0;
        for (var i = 0; i < 9; i++)
            on += Polygon.Holds(section, new SKPoint(r.Left + (r.Width * (i % 3) / 2), r.Top + (r.Height * (i / 3) / 2))) ? 1 : 0;
        return on / 9f;
    }

    private float Crowding(SKRect r)
    {
        var cost = 0f;
        var roomy = SKRect.Inflate(r, r.Height * 0.15f, r.Height * 0.15f);
        foreach (var t in _taken)
        {
            var overlap = SKRect.Intersect(roomy, t);
            if (overlap.Width > 0 && overlap.Height > 0)
                cost += r.Height * (2 + (20 * overlap.Width * overlap.Height / (r.Width * r.Height)));
        }

        return cost;
    }
}
