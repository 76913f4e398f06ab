using OpenCvSharp;

namespace GrainVision.Measuring.Scale.Card;

/// <summary>
/// Finds places in a photo where strong edges of several directions stand close together, as on the printed card: a fraction of the
/// time that a search for markers in the whole photo takes. Wood has edges of one direction; what else is busy (print, gravel) is looked into
/// and thrown out by the markers.
/// </summary>
internal static class CardRegionProposer
{
    /// <summary>2,100 px: a card 250 px wide in a 12 MP photo is 125 px there, its squares 14 px: as busy as a block of 24 px can be.</summary>
    private const int GreatestLongSidePx = 2100;

    /// <summary>15 grey levels squared: a blurred card in dim light (60 levels of contrast) has 30, sensor noise 3.</summary>
    private const float LeastEnergy = 15;

    /// <summary>A fifth of the busiest block: parts the card from a less busy ground that it touches.</summary>
    private const float LeastShare = 0.2f;

    /// <summary>32 px: a smaller patch is no readable card at its level.</summary>
    private const int LeastSidePx = 32;

    /// <summary>
    /// 420 px: a card larger than this shows as one patch at the next coarser level too, where the search is cheaper. The coarsest level takes any size.
    /// </summary>
    private const int GreatestSidePx = 420;

    /// <summary>12 places, busiest first: bounds the time on a photo that is busy all over.</summary>
    private const int GreatestPlaces = 12;

    /// <summary>Rectangles of the photo that may hold the card, busiest first.</summary>
    public static List<Rect> Find(GrayPyramid pyramid)
    {
        var found = new List<(Rect Place, float Energy)>();
        for (var level = 0; level < pyramid.Count; level++)
        {
            var size = pyramid[level].Size();
            if (Math.Max(size.Width, size.Height) <= GreatestLongSidePx)
                Search(pyramid, level, found);
        }

        var kept = new List<Rect>();
        foreach (var (place, _) in found.OrderByDescending(f => f.Energy))
        {
            // The same place at another level gives the same cutting.
            if (kept.Count < GreatestPlaces && !kept.Any(k => Alike(k, place)))
                kept.Add(place);
        }

        return kept;
    }

    private static void Search(GrayPyramid pyramid, int level, List<(Rect Place, float Energy)> found)
    {
        var blocks = new StructureTensorGrid(pyramid[level]);
        var energy = new float[blocks.Columns * blocks.Rows];
        for (var row = 1; row < blocks.Rows - 1; row++)
        {
            for (var column = 1; column < blocks.Columns - 1; column++)
                energy[(row * blocks.Columns) + column] = blocks.CornerEnergy(column, row);
        }

        if (energy.Length == 0)
            return;

        // Twice: a faint card beside something busier is found by the low threshold, one that touches something less busy by the high one.
        foreach (var least in (ReadOnlySpan<float>)[LeastEnergy, Math.Max(LeastEnergy, LeastShare * energy.Max())])
            Patches(energy, blocks, least, level, level == pyramid.Count - 1, found);
    }

    private static void Patches(float[] energy, StructureTensorGrid blocks, float least, int level, bool isLast, List<(Rect Place, float Energy)> found)
    {
        var seen = new bool[energy.Length];
        var queue = new Stack<int>();
        for (var start = 0; start < energy.Length; start++)
        {
            if (seen[start] || energy[start] < least)
                continue;
            int left = int.MaxValue, right = 0, top = int.MaxValue, bottom = 0, count = 0;
            var sum = 0f;
            seen[start] = true;
            queue.Push(start);
            while (queue.TryPop(out var at))
            {
                var (column, row) = (at % blocks.Columns, at / blocks.Columns);
                (left, right, top, bottom) = (Math.Min(left, column), Math.Max(right, column), Math.Min(top, row), Math.Max(bottom, row));
                sum += energy[at];
                count++;
                foreach (var next in (ReadOnlySpan<int>)[at - 1, at + 1, at - blocks.Columns, at + blocks.Columns])
                {
                    // Energy is 0 along the border, so that a step never leaves the grid.
                    if (next >= 0 && next < energy.Length && !seen[next] && energy[next] >= least)
                    {
                        seen[next] = true;
                        queue.Push(next);
                    }
                }
            }

            var (width, height) = ((right - left + 1) * StructureTensorGrid.Side, (bottom - top + 1) * StructureTensorGrid.Side);
            if (Math.Max(width, height) >= LeastSidePx && (isLast || Math.Max(width, height) <= GreatestSidePx))
                found.Add((Widen(left, top, width, height, level), sum / count));
        }
    }

    /// <summary>Two blocks of margin and a tenth of the size on each side, in photo px.</summary>
    private static Rect Widen(int column, int row, int width, int height, int level)
    {
        var margin = (2 * StructureTensorGrid.Side) + (Math.Max(width, height) / 10);
        return new Rect(
            ((column * StructureTensorGrid.Side) - margin) << level, ((row * StructureTensorGrid.Side) - margin) << level,
            (width + (2 * margin)) << level, (height + (2 * margin)) << level);
    }

    private static bool Alike(Rect a, Rect b)
    {
        var shared = a.Intersect(b);
        var both = (double)shared.Width * shared.Height;
        return both > 0.7 * Math.Max((double)a.Width * a.Height, (double)b.Width * b.Height);
    }
}
