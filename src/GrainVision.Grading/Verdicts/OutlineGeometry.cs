using GrainVision.Grading.Quantities;

namespace GrainVision.Grading.Verdicts;

/// <summary>Where a point lies in the section's outline.</summary>
internal static class OutlineGeometry
{
    /// <summary>Distance from a point to the outline's nearest side, px: positive inside, negative outside; NaN for fewer than 3 corners.</summary>
    internal static double DepthInsidePx(IReadOnlyList<PointPx> outline, PointPx p)
    {
        if (outline.Count < 3)
            return double.NaN;
        var (nearest, inside) = (double.PositiveInfinity, false);
        for (int i = 0, j = outline.Count - 1; i < outline.Count; j = i++)
        {
            var (a, b) = (outline[i], outline[j]);
            nearest = Math.Min(nearest, DistanceToSide(p, a, b));
            // Even-odd rule: a ray to the right crosses an odd number of sides from inside.
            if ((a.Y > p.Y) != (b.Y > p.Y) && p.X < a.X + ((p.Y - a.Y) / (b.Y - a.Y) * (b.X - a.X)))
                inside = !inside;
        }

        return inside ? nearest : -nearest;
    }

    private static double DistanceToSide(PointPx p, PointPx a, PointPx b)
    {
        var (side, to) = (b - a, p - a);
        var lengthSquared = (side.X * side.X) + (side.Y * side.Y);
        var share = lengthSquared == 0 ? 0 : Math.Clamp(((to.X * side.X) + (to.Y * side.Y)) / lengthSquared, 0, 1);
        return p.DistanceTo(a + (side * share));
    }
}
