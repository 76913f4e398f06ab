namespace GrainVision.Synthesis;

/// <summary>A lens of resin between two growth layers.</summary>
internal sealed class PitchPocket : GrowthLens
{
    protected override double RaggedMm(in WoodPoint p, float across) => 0.12 * HalfThickMm * Noise.At(p.Z / 2.5f, across * 6, 61.5f);

    public override void Paint(in WoodPoint p, float level, ref Light light)
    {
        var stain = MathF.Exp(-MathF.Max(0, -level) / 0.6f) * 0.35f;
        light.Fade(stain, light.B * 0.45f, light.G * 0.62f, light.R * 0.82f);
        var cover = Cover(level, p.Pitch);
        if (cover <= 0)
            return;
        var fleck = Noise.At(p.X / 0.8f, p.Y / 0.8f, 63.5f);
        var crystal = MathF.Max(0, fleck - 0.35f);
        light.Fade(cover * 0.92f, (light.B * 0.16f) + (0.10f * crystal), (light.G * 0.24f) + (0.16f * crystal), (light.R * 0.36f) + (0.22f * crystal));
    }
}

/// <summary>A crack along a radius (check, split) or along a growth layer (shake), following the fibres.</summary>
internal sealed class Crack : Feature
{
    public required double ThetaRad { get; init; }

    public required double U { get; init; }

    public required double Z { get; init; }

    /// <summary>Half extent along the fibres, mm; huge for a crack that runs through an end.</summary>
    public required double HalfLengthMm { get; init; }

    /// <summary>Half extent along the crack across the fibres, mm: radially for a check, round the log for a shake.</summary>
    public required double HalfReachMm { get; init; }

    /// <summary>Greatest opening, mm.</summary>
    public required double OpeningMm { get; init; }

    /// <summary>Along a growth layer instead of a radius.</summary>
    public bool Shake { get; init; }

    public override float Level(in WoodPoint p)
    {
        var (sin, cos) = Math.SinCos(ThetaRad);
        if ((p.Qx * cos) + (p.Qy * sin) <= 0)
            return -1e3f;
        var s = (p.Qy * cos) - (p.Qx * sin);
        var along = (p.Z - Z) / HalfLengthMm;
        var reach = (Shake ? s : p.U - U) / HalfReachMm;
        var room = 1 - (reach * reach) - (along * along);
        var zig = 0.25f * Noise.At((float)(Shake ? s : p.U) / 1.8f, p.Z / 6f, 71.5f) + (0.15f * Noise.At((float)(Shake ? s : p.U) / 0.5f, p.Z / 2f, 73.5f));
        var off = Math.Abs((Shake ? p.U - U : s) + zig);
        return (float)(room <= 0 ? -Math.Max(off, -room * Math.Min(HalfReachMm, HalfLengthMm) * 0.5) : (OpeningMm / 2 * Math.Sqrt(room)) - off);
    }

    public override void Paint(in WoodPoint p, float level, ref Light light) => light.Dim(1 - (0.88f * Cover(level, p.Pitch)));
}

/// <summary>A red or brown streak along a radius and the fibres: harmless in spruce (ANC-19 2.416).</summary>
internal sealed class RedStreak : Feature
{
    public required double ThetaRad { get; init; }

    public required double U { get; init; }

    public required double HalfReachMm { get; init; }

    public required double HalfWidthMm { get; init; }

    public required double Strength { get; init; }

    public override float Level(in WoodPoint p)
    {
        var (sin, cos) = Math.SinCos(ThetaRad);
        if ((p.Qx * cos) + (p.Qy * sin) <= 0)
            return -1e3f;
        var s = (p.Qy * cos) - (p.Qx * sin) + (0.5 * HalfWidthMm * Noise.At(p.U / 6f, p.Z / 60f, 81.5f));
        var reach = (p.U - U) / HalfReachMm;
        var room = Math.Max(0, 1 - (reach * reach));
        return (float)((HalfWidthMm * Math.Sqrt(room)) - Math.Abs(s));
    }

    public override void Paint(in WoodPoint p, float level, ref Light light)
    {
        var soft = (float)HalfWidthMm;
        var t = Math.Clamp((level / soft) + 0.5f, 0, 1);
        t = t * t * (3 - (2 * t)) * (float)Strength * (0.8f + (0.35f * Noise.At(p.Qx / 0.7f, p.Qy / 0.7f, p.Z / 40f)));
        light.Fade(t, light.B * 0.60f, light.G * 0.70f, light.R * 0.93f);
    }
}
