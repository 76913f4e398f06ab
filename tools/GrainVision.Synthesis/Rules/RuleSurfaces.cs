namespace GrainVision.Synthesis.Rules;

/// <summary>What a point of the picture looks like: rule, bench, wood of the piece, or hand.</summary>
internal sealed class RuleSurfaces
{
    private readonly RulePhotoSpec _spec;
    private readonly float _ringMm;
    private readonly float _ringTurn;
    private readonly float _bench;
    private readonly float _pieceFrom;
    private readonly float _z;

    public RuleSurfaces(RulePhotoSpec spec)
    {
        _spec = spec;
        var r = new SeededRandom((ulong)spec.Seed).Fork("surfaces");
        _ringMm = (float)r.Uniform(0.8, 4);
        _ringTurn = (float)r.Uniform(-1.6, 1.6);
        _bench = (float)r.Uniform(40, 190);
        _pieceFrom = r.Chance(0.3) ? 0.3f : (float)r.Uniform(2, 12);
        _z = (float)r.Uniform(0, 60);
    }

    /// <param name="u">Along the rule, mm.</param>
    /// <param name="v">Across it from the read edge, mm.</param>
    /// <param name="share">Of the pixel that is rule.</param>
    /// <param name="ink">Of that, the share that is inked.</param>
    /// <param name="bgr">Receives the colour, 0 to 255 and beyond.</param>
    public void Shade(float u, float v, float share, float ink, Span<float> bgr)
    {
        var covered = v > _spec.CoveredBeyondMm || u > _spec.EndCoveredFromMm;
        if (Hand(u, v))
        {
            var skin = 1 + (0.08f * Noise.At(u / 5, v / 5, _z)) + (0.05f * Noise.At(u / 0.6f, v / 0.6f, _z));
            (bgr[0], bgr[1], bgr[2]) = (115 * skin, 140 * skin, 190 * skin);
            return;
        }

        if (covered || v < -_pieceFrom)
            Wood(u, v, bgr);
        else
            Bench(u, v, bgr);
        if (covered || share <= 0)
            return;
        Span<float> rule = stackalloc float[3];
        Rule(u, v, ink, rule);
        for (var c = 0; c < 3; c++)
            bgr[c] += share * (rule[c] - bgr[c]);
    }

    private void Rule(float u, float v, float ink, Span<float> bgr)
    {
        var spec = _spec;
        var wear = (float)spec.Wear;
        var gone = wear * Math.Clamp((Noise.At(u / 7, v / 4, _z + 3) + (0.5f * Noise.At(u / 1.3f, v / 1.3f, _z + 7)) - 0.1f) * 2.5f, 0, 1);
        var scratch = wear * Math.Max(0, Noise.At((u + (v * 1.7f)) / 30, (v - (u * 0.3f)) / 0.35f, _z + 11) - 0.75f) * 120;
        var texture = spec.Style switch
        {
            RuleStyle.SatinSteel or RuleStyle.DarkSteel or RuleStyle.Anodised => 1 + (0.05f * Noise.At(u / 13, v / 0.15f, _z)) + (0.05f * Noise.At(u / 50, v / 4, _z + 1)),
            RuleStyle.Wooden => 1 + (0.10f * Noise.At(u / 25, v / 0.5f, _z)) + (0.06f * Noise.At(u / 3, v / 0.15f, _z + 1)),
            RuleStyle.Folding => 1 + (0.03f * Noise.At(u / 4, v / 4, _z)) - (0.5f * gone * Math.Max(0, Noise.At(u / 3, v / 3, _z + 4))),
            _ => 1 + (0.02f * Noise.At(u / 8, v / 8, _z)),
        };
        if (spec.Style == RuleStyle.Folding && MathF.Abs((u % 200) - 100) < 0.4f)
            texture *= 0.35f;
        var d = (u - (float)spec.Glare.AtMm) / (float)spec.Glare.WidthMm;
        var glare = (float)spec.Glare.Strength * 255 * MathF.Exp(-d * d) * (1 + (0.2f * Noise.At(u / 10, v / 0.3f, _z + 9)));
        ink *= 1 - gone;
        bgr[0] = (texture * (spec.Ground.B + (ink * (spec.Ink.B - (float)spec.Ground.B)))) + glare + scratch;
        bgr[1] = (texture * (spec.Ground.G + (ink * (spec.Ink.G - (float)spec.Ground.G)))) + glare + scratch;
        bgr[2] = (texture * (spec.Ground.R + (ink * (spec.Ink.R - (float)spec.Ground.R)))) + glare + scratch;
    }

    private void Bench(float u, float v, Span<float> bgr)
    {
        // The rule's shadow, 1 mm wide.
        var shadow = u < 0 || u > _spec.LengthMm ? 1 : v > _spec.WidthMm && v < _spec.WidthMm + 1 ? 0.6f : v < 0 && v > -0.6f ? 0.75f : 1;
        var g = _bench * shadow * (1 + (0.12f * Noise.At(u / 9, v / 9, _z + 20)) + (0.08f * Noise.At(u / 0.8f, v / 0.8f, _z + 21)));
        (bgr[0], bgr[1], bgr[2]) = (0.85f * g, 0.95f * g, g);
    }

    private void Wood(float u, float v, Span<float> bgr)
    {
        var (s, c) = MathF.SinCos(_ringTurn);
        var across = (u * c) + (v * s) + (1.5f * Noise.At(u / 30, v / 30, _z + 30)) + (0.4f * _ringMm * Noise.At(u / 6, v / 6, _z + 31));
        var phase = (across / _ringMm) - MathF.Floor(across / _ringMm);
        var late = phase * phase * phase;
        var w = (1 - (0.4f * late)) * (1 + (0.05f * Noise.At(u / 0.5f, v / 0.5f, _z + 32)));
        (bgr[0], bgr[1], bgr[2]) = (125 * w, 165 * w, 200 * w);
    }

    private bool Hand(float u, float v)
    {
        var (from, to) = _spec.Hand;
        if (to <= from || v < -4)
            return false;
        var round = 1.5f * Noise.At(v / 8, u / 40, _z + 40);
        return u > from + round && u < to + round;
    }
}
