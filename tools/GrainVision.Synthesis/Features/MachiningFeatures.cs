namespace GrainVision.Synthesis;

/// <summary>The step that a saw or planer knife leaves along a board: a straight thin line, the surface lighter on one side of it.</summary>
internal sealed class SawStep : Feature
{
    public required double AngleRad { get; init; }

    public required double HalfLengthMm { get; init; }

    public required double WidthMm { get; init; }

    /// <summary>Factor on the light in the line: under 1 dark, over 1 bright.</summary>
    public required double Line { get; init; }

    /// <summary>Difference between the sides at the line, as a share, and how far it fades.</summary>
    public required double Sides { get; init; }

    public required double FadeMm { get; init; }

    public float Salt { get; init; }

    public override float Level(in WoodPoint p)
    {
        Local(p, out var along, out var off);
        return (float)Math.Min((WidthMm / 2) - Math.Abs(off), HalfLengthMm - Math.Abs(along));
    }

    public override bool Shows(in WoodPoint p, float level) => level > -0.5f * p.Pitch;

    public override void Paint(in WoodPoint p, float level, ref Light light)
    {
        Local(p, out var along, out var off);
        var end = Math.Clamp((HalfLengthMm - Math.Abs(along)) / 3, 0, 1);
        if (end <= 0)
            return;
        var worn = 0.75f + (0.5f * Noise.At((float)along / 9f, Salt, 3.5f));
        var side = Sides * Math.Exp(-Math.Abs(off) / FadeMm) * Math.Sign(off) * end;
        var cover = Cover((float)((WidthMm / 2) - Math.Abs(off)), p.Pitch) * Math.Min(1, WidthMm / p.Pitch);
        light.Dim((float)Math.Max(0.1, (1 + side) * (1 + (cover * end * (Line - 1) * worn))));
    }

    private void Local(in WoodPoint p, out double along, out double off)
    {
        var (sin, cos) = Math.SinCos(AngleRad);
        double dx = p.X - CentreX, dy = p.Y - CentreY;
        along = (dx * cos) + (dy * sin);
        off = (dy * cos) - (dx * sin) + (0.12 * Noise.At((float)along / 40f, Salt, 9.5f));
    }
}

/// <summary>A patch with waves across the board, fuzz or torn fibres: what blunt or loose knives leave.</summary>
internal sealed class RoughPatch : Feature
{
    public required double HalfLengthMm { get; init; }

    public required double HalfWidthMm { get; init; }

    public required double Strength { get; init; }

    /// <summary>Distance of the waves, mm; 0 for none.</summary>
    public double WaveMm { get; init; }

    /// <summary>Torn fibres: short flecks along the fibres, bright and dark.</summary>
    public bool Torn { get; init; }

    /// <summary>Fine bright hairs across the board that a saw raised.</summary>
    public bool Hairs { get; init; }

    public float Salt { get; init; }

    public override float Level(in WoodPoint p)
    {
        var a = (p.X - (float)CentreX) / (float)HalfLengthMm;
        var b = (p.Y - (float)CentreY) / (float)HalfWidthMm;
        var ragged = 0.35f * Noise.At(p.X / (float)(HalfLengthMm * 0.4), p.Y / (float)(HalfWidthMm * 0.4), Salt);
        return (1 + ragged - MathF.Sqrt((a * a) + (b * b))) * (float)Math.Min(HalfLengthMm, HalfWidthMm);
    }

    public override bool Shows(in WoodPoint p, float level) => level > 0 && MathF.Abs(Relief(p)) * (float)Strength > 0.05f;

    public override void Paint(in WoodPoint p, float level, ref Light light)
    {
        var soft = Math.Clamp((level / (0.3f * (float)Math.Min(HalfLengthMm, HalfWidthMm))) + 0.3f, 0, 1);
        if (soft > 0)
            light.Dim(MathF.Max(0.15f, 1 + ((float)Strength * soft * Relief(p))));
    }

    private float Relief(in WoodPoint p)
    {
        var f = 0f;
        if (WaveMm > 0)
            f += MathF.Sin((p.X + (3 * Noise.At(p.Y / 50f, Salt, 1.5f))) * (float)(2 * Math.PI / WaveMm)) * (0.6f + (0.5f * Noise.At(p.X / 25f, p.Y / 12f, Salt)));
        if (Torn)
        {
            var v = Noise.At(p.X / 2.2f, p.Y / 0.28f, Salt) + (0.6f * Noise.At(p.X / 0.7f, p.Y / 0.2f, Salt + 5));
            f += v > 0.35f ? 2.2f * (v - 0.35f) : v < -0.5f ? 1.6f * (v + 0.5f) : 0;
        }

        if (Hairs)
        {
            var v = Noise.At(p.X / 0.3f, p.Y / 9f, Salt + 8) * Noise.At(p.X / 3.1f, p.Y / 14f, Salt + 9);
            f += v > 0.25f ? 3 * (v - 0.25f) : 0;
        }

        return f;
    }
}
