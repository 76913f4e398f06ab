namespace GrainVision.Measuring.Blemishes;

/// <summary>How much of a crack a candidate is: darker than the wood on both sides, thin, and more so than the surface's own lines.</summary>
internal static class LineFeatures
{
    public static IReadOnlyList<string> Names { get; } =
    [
        "valley", "valley-peak", "valley-over-usual", "valley-peak-over-usual", "valley-usual", "valley-round", "valley-filled", "thickness", "thinness", "is-line",
        "valley-beyond", "wander",
    ];

    public static float[] Of(SurfaceChannels s, BlemishCandidate c, Patch p)
    {
        var inside = new List<float>();
        double round = 0, along = 0, acrossSum = 0;
        var roundCount = 0;
        var across = new List<(double U, double V)>();
        for (var i = 0; i < p.Zone.Length; i++)
        {
            var zone = p.Zone[i];
            if (zone == 0)
                continue;
            var k = p.At(i, s.Width);
            if (s.Inner[k] == 0)
                continue;
            if (zone is Patch.Inside or Patch.InnerRim)
            {
                inside.Add(s.Valley[k]);
                var (x, y) = p.From(i);
                var (u, v) = ((x * p.Cos) + (y * p.Sin), (y * p.Cos) - (x * p.Sin));
                across.Add((u, v));
                along += u;
                acrossSum += v;
            }
            else if (zone == Patch.Round)
            {
                round += s.Valley[k];
                roundCount++;
            }
        }

        inside.Sort();
        var usual = s.UsualValley;
        var (mean, peak) = (inside.Count == 0 ? 0 : inside.Average(), inside.Count == 0 ? 0 : inside[(int)(0.95 * (inside.Count - 1))]);
        var thickness = inside.Count / s.Grid.PitchPxPerMm / s.Grid.PitchPxPerMm / Math.Max(0.3, c.Shape.LongestMm);
        return
        [
            mean, peak, mean / usual, peak / usual, usual, (float)(round / Math.Max(1, roundCount)) / usual,
            inside.Count(v => v > 1.3f * usual) / (float)Math.Max(1, inside.Count),
            (float)Math.Log(Math.Max(0.05, thickness)), (float)Math.Log(Math.Max(0.3, c.Shape.LongestMm) / Math.Max(0.1, thickness)), c.IsLine ? 1 : 0,
            Beyond(s, p) / usual, Wander(across, along, acrossSum, s.Grid.PitchPxPerMm),
        ];
    }

    /// <summary>Deepest valley 1 to 6 mm beyond the end that is the deeper, along the growth line: a ring's latewood goes on there, a check ends.</summary>
    private static float Beyond(SurfaceChannels s, Patch p)
    {
        var pitch = s.Grid.PitchPxPerMm;
        var greatest = 0f;
        for (var side = -1; side <= 1; side += 2)
        {
            var (sum, n) = (0f, 0);
            for (var mm = 1.0; mm <= 6; mm += 0.5)
            {
                // Within a pixel to either side: no line is straight.
                var best = 0f;
                var seen = false;
                for (var off = -1; off <= 1; off++)
                {
                    var t = side * (p.HalfAlong + (mm * pitch));
                    var (x, y) = ((int)Math.Round(p.MiddlePx.X + (t * p.Cos) - (off * p.Sin)), (int)Math.Round(p.MiddlePx.Y + (t * p.Sin) + (off * p.Cos)));
                    if ((uint)x >= (uint)s.Width || (uint)y >= (uint)s.Height || s.Inner[(y * s.Width) + x] == 0)
                        continue;
                    seen = true;
                    best = Math.Max(best, s.Valley[(y * s.Width) + x]);
                }

                if (seen)
                    (sum, n) = (sum + best, n + 1);
            }

            greatest = Math.Max(greatest, n == 0 ? 0 : sum / n);
        }

        return greatest;
    }

    /// <summary>Root mean square distance from its own straight line, mm: cracks wander, saw marks and pencil strokes hardly do.</summary>
    private static float Wander(List<(double U, double V)> points, double sumU, double sumV, double pitch)
    {
        if (points.Count < 4)
            return 0;
        var (mu, mv) = (sumU / points.Count, sumV / points.Count);
        double uu = 0, uv = 0, vv = 0;
        foreach (var (u, v) in points)
        {
            uu += (u - mu) * (u - mu);
            uv += (u - mu) * (v - mv);
            vv += (v - mv) * (v - mv);
        }

        var least = ((uu + vv) / 2) - Math.Sqrt(((uu - vv) * (uu - vv) / 4) + (uv * uv));
        return (float)(Math.Sqrt(Math.Max(0, least) / points.Count) / pitch);
    }
}
