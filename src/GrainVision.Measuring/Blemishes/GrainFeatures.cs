namespace GrainVision.Measuring.Blemishes;

/// <summary>
/// What the grain does in and round a candidate: it parts and closes again round a knot, stops at a hole, and runs on under a
/// stain or a stamp. From gradients against the face's own line direction.
/// </summary>
internal static class GrainFeatures
{
    public static IReadOnlyList<string> Names { get; } =
    [
        "cross-inside", "cross-round", "cross-rim", "turn-inside", "turn-round", "parting", "coherence-inside", "coherence-round", "radial", "radial-core", "energy-inside",
    ];

    /// <summary>Median coherence over the surface's cells of 4 mm: 1 where all lines run one way, 0 where there are none.</summary>
    public static float Coherence(SurfaceChannels s)
    {
        var cell = Math.Max(4, (int)(4 * s.Grid.PitchPxPerMm));
        var all = new List<float>();
        for (var cy = 0; cy + cell <= s.Height; cy += cell)
        {
            for (var cx = 0; cx + cell <= s.Width; cx += cell)
            {
                var tensor = new Tensor();
                for (var y = cy; y < cy + cell; y += 2)
                {
                    for (var x = cx; x < cx + cell; x += 2)
                    {
                        if (s.Inner[(y * s.Width) + x] != 0)
                            tensor.Add(s, (y * s.Width) + x);
                    }
                }

                if (tensor.Count > cell)
                    all.Add(tensor.Coherence);
            }
        }

        all.Sort();
        return all.Count == 0 ? 0 : all[all.Count / 2];
    }

    public static float[] Of(SurfaceChannels s, Patch p, float surfaceCoherence)
    {
        Tensor inside = new(), round = new(), rim = new();
        double parting = 0, partingWeight = 0, radial = 0, radialWeight = 0, core = 0, coreWeight = 0;
        double crossInside = 0, crossRound = 0, crossRim = 0;
        for (var i = 0; i < p.Zone.Length; i++)
        {
            var zone = p.Zone[i];
            if (zone == 0)
                continue;
            var k = p.At(i, s.Width);
            if (s.Inner[k] == 0)
                continue;
            var (x, y) = p.From(i);
            // Along and across the grain, in half extents of the candidate.
            var (u, v) = (((x * p.Cos) + (y * p.Sin)) / p.HalfAlong, ((y * p.Cos) - (x * p.Sin)) / p.HalfAcross);
            var (gu, gv) = ((s.GradientU[k] * p.Cos) + (s.GradientV[k] * p.Sin), (s.GradientV[k] * p.Cos) - (s.GradientU[k] * p.Sin));
            var energy = ((double)gu * gu) + ((double)gv * gv);
            switch (zone)
            {
                case Patch.Inside or Patch.InnerRim:
                    inside.Add(s, k);
                    crossInside += s.CrossEnergy[k];
                    break;
                case Patch.OuterRim:
                    rim.Add(s, k);
                    crossRim += s.CrossEnergy[k];
                    break;
                default:
                    round.Add(s, k);
                    crossRound += s.CrossEnergy[k];
                    // Lines that part round a knot lean one way before it and the other way behind it, on either side: gu gv has the sign of -u v.
                    parting -= Math.Sign(u * v) * gu * gv;
                    partingWeight += energy;
                    break;
            }

            if (zone != Patch.Round)
            {
                // Ring-like inside: changes point to the middle, in the ellipse's own measure.
                var (nu, nv) = (u / p.HalfAlong, v / p.HalfAcross);
                var n2 = (nu * nu) + (nv * nv);
                if (n2 > 1e-9)
                {
                    var along = ((gu * nu) + (gv * nv)) * ((gu * nu) + (gv * nv)) / n2;
                    radial += along;
                    radialWeight += energy;
                    if (zone == Patch.Inside)
                        (core, coreWeight) = (core + along, coreWeight + energy);
                }
            }
        }

        return
        [
            Cap(crossInside / Math.Max(1, inside.Count)), Cap(crossRound / Math.Max(1, round.Count)), Cap(crossRim / Math.Max(1, rim.Count)),
            inside.CrossShare, round.CrossShare, (float)(2 * parting / Math.Max(1e-6, partingWeight)),
            inside.Coherence, round.Coherence - surfaceCoherence,
            (float)(radial / Math.Max(1e-6, radialWeight)), (float)(core / Math.Max(1e-6, coreWeight)), Cap(inside.Energy / Math.Max(0.05, round.Energy)),
        ];
    }

    private static float Cap(double v) => (float)Math.Log(1 + Math.Min(1e4, v));

    /// <summary>Structure tensor in the frame of the growth lines.</summary>
    private struct Tensor
    {
        private double _uu, _uv, _vv;

        public int Count { get; private set; }

        public readonly double Energy => (_uu + _vv) / Math.Max(1, Count);

        /// <summary>Share of the change that runs along the growth line: 0 on clear wood, 1 where lines stand across it.</summary>
        public readonly float CrossShare => (float)(_uu / Math.Max(1e-6, _uu + _vv));

        public readonly float Coherence => (float)(Math.Sqrt(((_uu - _vv) * (_uu - _vv)) + (4 * _uv * _uv)) / Math.Max(1e-6, _uu + _vv));

        public void Add(SurfaceChannels s, int k)
        {
            var (gu, gv) = ((s.GradientU[k] * s.LineCos[k]) + (s.GradientV[k] * s.LineSin[k]), (s.GradientV[k] * s.LineCos[k]) - (s.GradientU[k] * s.LineSin[k]));
            Count++;
            _uu += gu * gu;
            _uv += gu * gv;
            _vv += gv * gv;
        }
    }
}
