namespace GrainVision.Synthesis;

/// <summary>A pitch pocket of any look, cut open by the knife: brown streaks along the fibres, pale resin, or an empty dark lens.</summary>
internal sealed class ResinPatch : GrowthLens
{
    /// <summary>Factors on blue, green and red.</summary>
    public required (float B, float G, float R) Tint { get; init; }

    /// <summary>How streaky, 0 to 1.</summary>
    public double Streaks { get; init; }

    /// <summary>How far brown soaks out, mm, and how strong.</summary>
    public double SoakMm { get; init; } = 0.6;

    public double Soak { get; init; } = 0.3;

    public float Salt { get; init; }

    protected override double RaggedMm(in WoodPoint p, float across) =>
        HalfThickMm * ((0.2 * Noise.At(p.Z / 2.5f, across * 6, Salt)) + (0.35 * Streaks * Noise.At(p.Z / 5f, p.U / 0.3f, Salt + 1)));

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
