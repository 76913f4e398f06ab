using GrainVision.Grading.Quantities;

namespace GrainVision.Accuracy;

/// <summary>Ring boundaries found against true ones, matched one to one along the path.</summary>
internal readonly record struct BoundaryScore(int Hits, int Found, int True)
{
    /// <summary>
    /// Counts boundaries within the tolerance, greedily in order. A found boundary is compared with the true polyline's crossing nearest to
    /// it; both paths run through the middle of the section along the ring normals, so they differ by far less than the tolerance
    /// along the radius.
    /// </summary>
    /// <param name="found">px.</param>
    /// <param name="truth">px.</param>
    /// <param name="path">The true path, px: positions are projected onto it.</param>
    /// <param name="tolerancePx">Tolerance along the path, px.</param>
    public static BoundaryScore Compute(IReadOnlyList<PointPx> found, IReadOnlyList<PointPx> truth, IReadOnlyList<PointPx> path, double tolerancePx)
    {
        var a = found.Select(p => Along(path, p)).Order().ToArray();
        var b = truth.Select(p => Along(path, p)).Order().ToArray();
        var hits = 0;
        for (int i = 0, j = 0; i < a.Length && j < b.Length;)
        {
            if (Math.Abs(a[i] - b[j]) <= tolerancePx)
            {
                hits++;
                i++;
                j++;
            }
            else if (a[i] < b[j])
            {
                i++;
            }
            else
            {
                j++;
            }
        }

        return new BoundaryScore(hits, a.Length, b.Length);
    }

    private static double Along(IReadOnlyList<PointPx> path, PointPx p)
    {
        var (best, at, along) = (double.MaxValue, 0.0, 0.0);
        for (var i = 0; i + 1 < path.Count; i++)
        {
            var d = path[i + 1] - path[i];
            var length = Math.Max(1e-9, d.Length);
            var t = Math.Clamp((((p.X - path[i].X) * d.X) + ((p.Y - path[i].Y) * d.Y)) / (length * length), 0, 1);
            var off = p.DistanceTo(path[i] + (d * t));
            if (off < best)
                (best, at) = (off, along + (t * length));
            along += length;
        }

        return at;
    }
}
