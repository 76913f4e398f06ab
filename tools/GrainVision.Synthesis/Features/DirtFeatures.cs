namespace GrainVision.Synthesis;

/// <summary>A smear, a finger mark, dust or specks: lies on the wood and comes off.</summary>
internal sealed class DirtMark : Feature
{
    public required double HalfLengthMm { get; init; }

    public required double HalfWidthMm { get; init; }

    public double AngleRad { get; init; }

    /// <summary>Share of the light taken where it is thickest.</summary>
    public required double Strength { get; init; }

    public (float B, float G, float R) Tint { get; init; } = (0.25f, 0.28f, 0.30f);

    /// <summary>Specks of this size, mm, instead of a film; 0 for a film.</summary>
    public double SpeckMm { get; init; }

    public float Salt { get; init; }

    public override float Level(in WoodPoint p)
    {
        Local(p, out var a, out var b);
        return (float)((1 - Math.Sqrt((a * a) + (b * b))) * Math.Min(HalfLengthMm, HalfWidthMm));
    }

    public override bool Shows(in WoodPoint p, float level) => Film(p, level) > 0.06f;

    public override void Paint(in WoodPoint p, float level, ref Light light)
    {
        var film = Film(p, level);
        if (film > 0)
            light.Fade(film, light.B * Tint.B, light.G * Tint.G, light.R * Tint.R);
    }

    private float Film(in WoodPoint p, float level)
    {
        var soft = Math.Clamp(level / (0.4f * (float)Math.Min(HalfLengthMm, HalfWidthMm)), 0, 1);
        if (soft <= 0)
            return 0;
        if (SpeckMm > 0)
            return Speck(p) * (float)Strength;
        Local(p, out var a, out var b);
        var cloud = 0.5f + Noise.At((float)a * 2.5f, (float)b * 2.5f, Salt) + (0.6f * Noise.At(p.X / 1.6f, p.Y / 0.9f, Salt + 2)) + (0.4f * Noise.At((float)a * 0.8f, (float)b * 9f, Salt + 4));
        return Math.Clamp(cloud * soft, 0, 1) * (float)Strength;
    }

    private float Speck(in WoodPoint p)
    {
        var cell = (float)SpeckMm * 9;
        int i = (int)MathF.Floor(p.X / cell), j = (int)MathF.Floor(p.Y / cell);
        var h = Noise.Hash(i, j, (int)(Salt * 100));
        if ((h & 3) != 0)
            return 0;
        var x = (i + 0.2f + (0.6f * ((h >> 8) & 255) / 255f)) * cell;
        var y = (j + 0.2f + (0.6f * ((h >> 16) & 255) / 255f)) * cell;
        var radius = (float)SpeckMm * (0.25f + (0.5f * ((h >> 24) & 255) / 255f));
        var r = MathF.Sqrt(((p.X - x) * (p.X - x)) + ((p.Y - y) * (p.Y - y)));
        return Cover(radius * (1 + (0.3f * Noise.At(p.X * 3, p.Y * 3, Salt))) - r, p.Pitch) * Math.Min(1, 2 * radius / p.Pitch);
    }

    private void Local(in WoodPoint p, out double a, out double b)
    {
        var (sin, cos) = Math.SinCos(AngleRad);
        double dx = p.X - CentreX, dy = p.Y - CentreY;
        a = ((dx * cos) + (dy * sin)) / HalfLengthMm;
        b = ((dy * cos) - (dx * sin)) / HalfWidthMm;
    }
}
