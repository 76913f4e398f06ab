namespace GrainVision.Synthesis;

/// <summary>The look of a branch cut open.</summary>
internal sealed class KnotFeature : Feature
{
    private readonly float _tint;
    private readonly float _ringMm;
    private readonly float _crackAngle;
    private readonly float _seed;
    private readonly float _warmth;

    /// <summary>The same knot for a surface on which its place is not known beforehand.</summary>
    public KnotFeature Everywhere() => new(this) { CentreX = 0, CentreY = 0, ReachX = 1e9, ReachY = 1e9, Cracked = Cracked, Pale = Pale };

    private KnotFeature(KnotFeature other) =>
        (Knot, _tint, _ringMm, _crackAngle, _seed, _warmth) = (other.Knot, other._tint, other._ringMm, other._crackAngle, other._seed, other._warmth);

    public KnotFeature(Knot knot, SeededRandom random)
    {
        Knot = knot;
        _tint = (float)random.Uniform(0.32, 0.62);
        _ringMm = (float)random.Uniform(0.45, 1.0);
        _crackAngle = (float)random.Uniform(0, Math.PI);
        _seed = (float)random.Uniform(0, 50);
        _warmth = (float)random.Uniform(0.68, 0.95);
    }

    public Knot Knot { get; }

    /// <summary>0 as dark as most, 1 hardly darker than the wood about it.</summary>
    public float Pale { get; init; }

    /// <summary>Cracked across, as larger dry knots are.</summary>
    public bool Cracked { get; init; }

    public override float Level(in WoodPoint p)
    {
        if (!Knot.Offset(p.Qx, p.Qy, p.Z, out var u, out var s, out var a))
            return -1e3f;
        var radius = Knot.RadiusAt(u);
        var lump = radius * 0.06 * Noise.At((float)(s / (0.5 * radius + 0.3)), (float)(a / (0.5 * radius + 0.3)), _seed);
        return radius <= 0 ? -1e3f : (float)(radius + lump - Math.Sqrt((s * s) + (a * a)));
    }

    public override void Paint(in WoodPoint p, float level, ref Light light)
    {
        Knot.Offset(p.Qx, p.Qy, p.Z, out var u, out var s, out var a);
        var radius = (float)Math.Max(Knot.RadiusAt(u), 0.3);
        // Grain about a knot is denser and darker.
        var halo = MathF.Exp(-MathF.Max(0, -level) / (0.45f * radius));
        light.Dim(1 - (0.30f * halo));
        if (level < -p.Pitch)
            return;
        var r = MathF.Sqrt((float)((s * s) + (a * a)));
        var fleck = Noise.At((float)s * 2.2f, (float)a * 2.2f, _seed + 3);
        var rings = 0.5f + (0.5f * MathF.Sin((6.2832f * r / _ringMm) + (1.2f * fleck)));
        var fade = Math.Clamp((_ringMm / p.Pitch) - 1.2f, 0, 1);
        var shade = (_tint + (Pale * (0.92f - _tint))) * (1 + (0.20f * fade * (rings - 0.5f)) + (0.10f * fleck)) * (1 - (0.25f * MathF.Exp(-r * r / (0.06f * radius * radius))));
        var inside = p.Ground;
        inside.B *= shade * _warmth * _warmth * 0.72f;
        inside.G *= shade * _warmth * 0.86f;
        inside.R *= shade;
        var rim = Knot.Loose ? MathF.Exp(-Square(level / (0.10f * radius + 0.25f))) * 0.9f : MathF.Exp(-Square(level / (0.12f * radius + 0.2f))) * 0.40f;
        inside.Dim(1 - rim);
        if (Cracked)
        {
            var (sin, cos) = MathF.SinCos(_crackAngle);
            var off = MathF.Abs(((float)s * cos) + ((float)a * sin)) + (0.12f * fleck * radius * 0.3f);
            var width = 0.10f * radius * (1 - (r / radius));
            inside.Dim(1 - (0.8f * Cover(width - off, p.Pitch)));
        }

        var cover = Cover(level, p.Pitch);
        light.Fade(cover, inside.B, inside.G, inside.R);
    }

    private static float Square(float v) => v * v;
}
