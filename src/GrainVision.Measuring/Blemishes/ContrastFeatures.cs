namespace GrainVision.Measuring.Blemishes;

/// <summary>Darkness, colour, rim and shading of a candidate against the clear wood of its own surface.</summary>
internal static class ContrastFeatures
{
    public static IReadOnlyList<string> Names { get; } =
    [
        "dark", "dark-peak", "dark-raw", "relative", "relative-least", "relative-over-floor", "below-floor", "delta-a", "delta-b", "colour",
        "dark-spread", "colour-to-dark", "rim-dark", "core-dark", "rim-sharpness", "rim-closed",
        "round-dark", "round-bright", "round-dark-peak", "round-delta-a", "round-delta-b", "shade-dipole", "line-dark", "line-dark-least", "across-dark",
    ];

    public static float[] Of(SurfaceChannels s, Patch p)
    {
        var inside = new Sums();
        var rim = new Sums();
        var core = new Sums();
        var round = new Sums();
        var (rimCount, rimOut, rimGradient) = (0, 0, 0.0);
        double dipoleX = 0, dipoleY = 0, dipoleWeight = 0;
        var (dark, darkRound, relative) = (new List<float>(), new List<float>(), new List<float>());
        for (var i = 0; i < p.Zone.Length; i++)
        {
            var zone = p.Zone[i];
            if (zone == 0)
                continue;
            var k = p.At(i, s.Width);
            if (s.Grid.Inside[k] == 0)
                continue;
            var (x, y) = p.From(i);
            if (zone is Patch.Inside or Patch.InnerRim)
            {
                inside.Add(s, k);
                (zone == Patch.Inside ? core : rim).Add(s, k);
                dark.Add(s.Darkness[k]);
                relative.Add(s.Relative[k]);
            }
            else if (zone == Patch.Round)
            {
                round.Add(s, k);
                darkRound.Add(s.Darkness[k]);
            }

            if (zone is Patch.InnerRim or Patch.OuterRim)
            {
                // Outward change across the rim, the ellipse's normal taken for the rim's.
                var (nx, ny) = Outward(p, x, y);
                var change = (s.GradientU[k] * nx) + (s.GradientV[k] * ny);
                rimCount++;
                rimGradient += change;
                if (change > 0.5f * s.DarknessDeviation / 3)
                    rimOut++;
            }

            if (zone != Patch.Round)
            {
                dipoleX += x * s.Darkness[k];
                dipoleY += y * s.Darkness[k];
                dipoleWeight += Math.Sqrt((x * x) + (y * y)) * Math.Abs(s.Darkness[k]);
            }
        }

        dark.Sort();
        darkRound.Sort();
        relative.Sort();
        var meanDark = inside.Dark;
        var spread = Math.Max(0.02f, 1 - s.Floor);
        var (line, lineLeast) = Beyond(s, p, along: true);
        var (across, _) = Beyond(s, p, along: false);
        return
        [
            meanDark, At(dark, 0.95f), inside.Raw, inside.Relative, At(relative, 0.05f), (At(relative, 0.05f) - s.Floor) / spread, inside.Floor,
            inside.A, inside.B, inside.Colour,
            At(dark, 0.9f) - At(dark, 0.1f), inside.Colour / Math.Max(1, Math.Abs(meanDark)), rim.Dark, core.Count > 0 ? core.Dark : rim.Dark,
            (float)(rimGradient / Math.Max(1, rimCount) / Math.Max(3, Math.Abs(inside.Raw))), rimOut / (float)Math.Max(1, rimCount),
            round.Dark, At(darkRound, 0.05f), At(darkRound, 0.95f), round.A, round.B,
            (float)(Math.Sqrt((dipoleX * dipoleX) + (dipoleY * dipoleY)) / Math.Max(1e-3, dipoleWeight)), line, lineLeast, across,
        ];
    }

    private static (double X, double Y) Outward(Patch p, double x, double y)
    {
        var (u, v) = ((x * p.Cos) + (y * p.Sin), (y * p.Cos) - (x * p.Sin));
        var (nu, nv) = (u / (p.HalfAlong * p.HalfAlong), v / (p.HalfAcross * p.HalfAcross));
        var length = Math.Max(1e-6, Math.Sqrt((nu * nu) + (nv * nv)));
        (nu, nv) = (nu / length, nv / length);
        return ((nu * p.Cos) - (nv * p.Sin), (nu * p.Sin) + (nv * p.Cos));
    }

    /// <summary>
    /// Darkness 1 to 6 mm beyond both ends, along the grain or across it: a piece of a ring goes on, a knot does not. Mean of both
    /// ends, and the lesser of the two.
    /// </summary>
    private static (float Mean, float Least) Beyond(SurfaceChannels s, Patch p, bool along)
    {
        var pitch = s.Grid.PitchPxPerMm;
        var half = along ? p.HalfAlong : p.HalfAcross;
        Span<float> ends = stackalloc float[2];
        for (var side = 0; side < 2; side++)
        {
            var (sum, n) = (0f, 0);
            for (var mm = 1.0; mm <= 6; mm += 0.5)
            {
                var t = (side == 0 ? 1 : -1) * (half + (mm * pitch));
                var x = (int)Math.Round(p.MiddlePx.X + (along ? t * p.Cos : -t * p.Sin));
                var y = (int)Math.Round(p.MiddlePx.Y + (along ? t * p.Sin : t * p.Cos));
                if ((uint)x >= (uint)s.Width || (uint)y >= (uint)s.Height || s.Grid.Inside[(y * s.Width) + x] == 0)
                    continue;
                sum += s.Darkness[(y * s.Width) + x];
                n++;
            }

            ends[side] = n == 0 ? 0 : sum / n;
        }

        return ((ends[0] + ends[1]) / 2, Math.Min(ends[0], ends[1]));
    }

    private static float At(List<float> sorted, float share) => sorted.Count == 0 ? 0 : sorted[(int)(share * (sorted.Count - 1))];

    /// <summary>Means over one zone.</summary>
    private struct Sums
    {
        private double _dark, _raw, _relative, _floor, _a, _b, _colour;

        public int Count { get; private set; }

        public readonly float Dark => Mean(_dark);

        public readonly float Raw => Mean(_raw);

        public readonly float Relative => Mean(_relative);

        public readonly float Floor => Mean(_floor);

        public readonly float A => Mean(_a);

        public readonly float B => Mean(_b);

        public readonly float Colour => Mean(_colour);

        public void Add(SurfaceChannels s, int k)
        {
            Count++;
            _dark += s.Darkness[k];
            _raw += s.Background[k] - s.Grey[k];
            _relative += s.Relative[k];
            _floor += s.BelowFloor[k];
            _a += s.DeltaA[k];
            _b += s.DeltaB[k];
            _colour += s.Colour[k];
        }

        private readonly float Mean(double sum) => (float)(sum / Math.Max(1, Count));
    }
}
