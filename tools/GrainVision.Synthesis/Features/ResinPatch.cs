namespace GrainVision.Synthesis;

/// <summary>A pitch pocket of any look, cut open by the knife: brown streaks along the fibres, pale resin, or an empty dark lens.</summary>
internal sealed class ResinPatch : Feature
{
    public required double ThetaRad { get; init; }

    public required double U { get; init; }

    public required double Z { get; init; }

    public required double HalfLengthMm { get; init; }

    public required double HalfWidthMm { get; init; }

    public required double HalfThickMm { get; init; }

    /// <summary>Factors on blue, green and red.</summary>
    public required (float B, float G, float R) Tint { get; init; }

    /// <summary>How streaky, 0 to 1.</summary>
    public double Streaks { get; init; }

    /// <summary>How far brown soaks out, mm, and how strong.</summary>
    public double SoakMm { get; init; } = 0.6;

    public double Soak { get; init; } = 0.3;

    public float Salt { get; init; }

    public override float Level(in WoodPoint p)
    {
        var (sin, cos) = Math.SinCos(ThetaRad);
        if ((p.Qx * cos) + (p.Qy * sin) <= 0)
            return -1e3f;
        var s = ((p.Qy * cos) - (p.Qx * sin)) / HalfWidthMm;
        var along = (p.Z - Z) / HalfLengthMm;
        var room = 1 - (s * s) - (along * along);
        var thick = HalfThickMm * Math.Sign(room) * Math.Sqrt(Math.Abs(room));
        var ragged = HalfThickMm * ((0.2 * Noise.At(p.Z / 2.5f, (float)s * 6, Salt)) + (0.35 * Streaks * Noise.At(p.Z / 5f, p.U / 0.3f, Salt + 1)));
        var level = thick + ragged - Math.Abs(p.U - U);
        return (float)(room < 0 ? Math.Min(level, room * HalfWidthMm * 0.5) : level);
    }

    public override void Paint(in WoodPoint p, float level, ref Light light)
    {
        var stain = MathF.Exp(-MathF.Max(0, -level) / (float)SoakMm) * (float)Soak;
        light.Fade(stain, light.B * 0.55f, light.G * 0.70f, light.R * 0.86f);
        var cover = Cover(level, p.Pitch);
        if (cover <= 0)
            return;
        var streak = 0.5f + (0.5f * Noise.At(p.Z / 4f, p.U / 0.22f, Salt + 2));
        var full = cover * (1 - ((float)Streaks * 0.7f * streak));
        var shine = MathF.Max(0, Noise.At(p.X / 0.8f, p.Y / 0.8f, Salt + 3) - 0.4f) * 0.25f;
        light.Fade(full, (light.B * Tint.B) + shine, (light.G * Tint.G) + shine, (light.R * Tint.R) + shine);
    }
}
