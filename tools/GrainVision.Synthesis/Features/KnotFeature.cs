namespace GrainVision.Synthesis;

/// <summary>The look of a branch cut open.</summary>
internal sealed class KnotFeature : Feature
{
    private readonly float tint;
    private readonly float ringMm;
    private readonly float crackAngle;
    private readonly float seed;
    private readonly float warmth;

    /// <summary>The same knot for a surface on which its place is not known beforehand.</summary>
    public KnotFeature Everywhere() => new(this) { CentreX = 0, CentreY = 0, ReachX = 1e9, ReachY = 1e9, Cracked = Cracked, Pale = Pale };

    private KnotFeature(KnotFeature other) =>
        (Knot, tint, ringMm, crackAngle, seed, warmth) = (other.Knot, other.tint, other.ringMm, other.crackAngle, other.seed, other.warmth);

    public KnotFeature(Knot knot, SeededRandom random)
    {
        Knot = knot;
        tint = (float)random.Uniform(0.32, 0.62);
        ringMm = (float)random.Uniform(0.45, 1.0);
        crackAngle = (float)random.Uniform(0, Math.PI);
        seed = (float)random.Uniform(0, 50);
        warmth = (float)random.Uniform(0.68, 0.95);
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
        var lump = radius * 0.06 * Noise.At((float)(s / (0.5 * radius + 0.3)), (float)(a / (0.5 * radius + 0.3)), seed);
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
        var fleck = Noise.At((float)s * 2.2f, (float)a * 2.2f, seed + 3);
        var rings = 0.5f + (0.5f * MathF.Sin((6.2832f * r / ringMm) + (1.2f * fleck)));
        var fade = Math.Clamp((ringMm / p.Pitch) - 1.2f, 0, 1);
        var shade = (tint + (Pale * (0.92f - tint))) * (1 + (0.20f * fade * (rings - 0.5f)) + (0.10f * fleck)) * (1 - (0.25f * MathF.Exp(-r * r / (0.06f * radius * radius))));
        var inside = p.Ground;
        inside.B *= shade * warmth * warmth * 0.72f;
        inside.G *= shade * warmth * 0.86f;
        inside.R *= shade;
        var rim = Knot.Loose ? MathF.Exp(-Square(level / (0.10f * radius + 0.25f))) * 0.9f : MathF.Exp(-Square(level / (0.12f * radius + 0.2f))) * 0.40f;
        inside.Dim(1 - rim);
        if (Cracked)
        {
            var (sin, cos) = MathF.SinCos(crackAngle);
            var off = MathF.Abs(((float)s * cos) + ((float)a * sin)) + (0.12f * fleck * radius * 0.3f);
            var width = 0.10f * radius * (1 - (r / radius));
            inside.Dim(1 - (0.8f * Cover(width - off, p.Pitch)));
        }

        var cover = Cover(level, p.Pitch);
        light.Fade(cover, inside.B, inside.G, inside.R);
    }

    private static float Square(float v) => v * v;
}
