namespace GrainVision.Synthesis;

/// <summary>A round hole bored by an insect (or a nail).</summary>
internal sealed class BoreHole : Feature
{
    public required double RadiusMm { get; init; }

    /// <summary>Long over short axis: a hole bored aslant.</summary>
    public double Aspect { get; init; } = 1;

    public double AngleRad { get; init; }

    /// <summary>Direction the light comes from, rad.</summary>
    public double LightRad { get; init; }

    public override float Level(in WoodPoint p)
    {
        var (dx, dy) = Turned(p);
        var r = MathF.Sqrt((dx * dx / (float)(Aspect * Aspect)) + (dy * dy));
        return (float)RadiusMm - r;
    }

    public override void Paint(in WoodPoint p, float level, ref Light light)
    {
        var cover = Cover(level, p.Pitch);
        // A ragged, slightly darkened lip.
        light.Dim(1 - (0.25f * MathF.Exp(-MathF.Max(0, -level) / 0.25f)));
        var side = (float)(((p.X - CentreX) * Math.Cos(LightRad)) + ((p.Y - CentreY) * Math.Sin(LightRad))) / (float)RadiusMm;
        // The wall away from the light catches some of it.
        var depth = 0.05f + (0.16f * Math.Clamp(-side, 0, 1));
        light.Fade(cover, light.B * depth * 0.8f, light.G * depth * 0.9f, light.R * depth);
    }

    private (float Dx, float Dy) Turned(in WoodPoint p)
    {
        var (sin, cos) = MathF.SinCos((float)AngleRad);
        var dx = p.X - (float)CentreX;
        var dy = p.Y - (float)CentreY;
        return ((dx * cos) + (dy * sin), (dy * cos) - (dx * sin));
    }
}

/// <summary>A dent or gouge: no colour of its own, only light and shade on its slopes.</summary>
internal sealed class Dent : Feature
{
    public required double HalfLengthMm { get; init; }

    public required double HalfWidthMm { get; init; }

    public double AngleRad { get; init; }

    public double LightRad { get; init; }

    public double Depth { get; init; } = 0.5;

    /// <summary>Torn fibres inside: a gouge.</summary>
    public bool Torn { get; init; }

    public override float Level(in WoodPoint p)
    {
        var r = Radius(p, out _, out _);
        return (1 - r) * (float)Math.Min(HalfLengthMm, HalfWidthMm);
    }

    public override void Paint(in WoodPoint p, float level, ref Light light)
    {
        var r = Radius(p, out var dx, out var dy);
        if (r > 1.3f)
            return;
        // Slope of a bowl with a rounded lip.
        var slope = r < 1 ? MathF.Sin(MathF.PI * r) : -0.15f * MathF.Sin(MathF.PI * (r - 1) / 0.3f);
        var (sin, cos) = MathF.SinCos((float)LightRad);
        var length = MathF.Sqrt((dx * dx) + (dy * dy)) + 1e-6f;
        var facing = -((dx * cos) + (dy * sin)) / length;
        light.Dim(MathF.Max(0.15f, 1 + ((float)Depth * 0.75f * slope * facing) - (r < 1 ? 0.10f * (float)Depth : 0)));
        if (Torn && r < 1)
            light.Dim(1 + (0.35f * Noise.At(p.X / 2f, p.Y / 0.25f, 91.5f)));
    }

    private float Radius(in WoodPoint p, out float dx, out float dy)
    {
        dx = p.X - (float)CentreX;
        dy = p.Y - (float)CentreY;
        var (sin, cos) = MathF.SinCos((float)AngleRad);
        var a = ((dx * cos) + (dy * sin)) / (float)HalfLengthMm;
        var b = ((dy * cos) - (dx * sin)) / (float)HalfWidthMm;
        return MathF.Sqrt((a * a) + (b * b)) * (1 + (0.08f * Noise.At(dx / 1.5f, dy / 1.5f, 93.5f)));
    }
}

/// <summary>Blue stain, water stain or oil.</summary>
internal sealed class Stain : Feature
{
    /// <summary>Half strength of its soft rim and more.</summary>
    public override bool Shows(in WoodPoint p, float level) => level > 0;

    public required double HalfLengthMm { get; init; }

    public required double HalfWidthMm { get; init; }

    public required double Strength { get; init; }

    /// <summary>Factors on blue, green and red at full strength.</summary>
    public (float B, float G, float R) Tint { get; init; } = (0.72f, 0.66f, 0.58f);

    public override float Level(in WoodPoint p)
    {
        var a = (p.X - (float)CentreX) / (float)HalfLengthMm;
        var b = (p.Y - (float)CentreY) / (float)HalfWidthMm;
        var ragged = (0.30f * Noise.At(p.X / (float)(HalfLengthMm * 0.35), p.Y / (float)(HalfWidthMm * 0.35), 95.5f)) + (0.15f * Noise.At(p.X / 9f, p.Y / 0.9f, 97.5f));
        return (1 + ragged - MathF.Sqrt((a * a) + (b * b))) * (float)HalfWidthMm;
    }

    public override void Paint(in WoodPoint p, float level, ref Light light)
    {
        var soft = 0.35f * (float)HalfWidthMm;
        var t = Math.Clamp((level / soft) + 0.5f, 0, 1) * (float)Strength * (0.85f + (0.3f * Noise.At(p.X / 12f, p.Y / 1.2f, 99.5f)));
        light.B *= 1 + (t * (Tint.B - 1));
        light.G *= 1 + (t * (Tint.G - 1));
        light.R *= 1 + (t * (Tint.R - 1));
    }
}
