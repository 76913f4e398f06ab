namespace GrainVision.Synthesis;

/// <summary>
/// A crack of any look: hair-fine to gaping, straight or torn, in one piece or in steps one behind the other, black or filled with
/// dust, with or without a pale lip. It follows the fibres and a radius (check, split) or a growth layer (shake).
/// </summary>
internal sealed class VariedCrack : Feature
{
    private readonly (double Sin, double Cos) _theta;
    private readonly double _thetaRad;

    public required double ThetaRad
    {
        get => _thetaRad;
        init => (_thetaRad, _theta) = (value, Math.SinCos(value));
    }

    public required double U { get; init; }

    public required double Z { get; init; }

    /// <summary>Half extent along the fibres, mm.</summary>
    public required double HalfLengthMm { get; init; }

    /// <summary>Half extent across the fibres, mm: radially for a check, round the log for a shake.</summary>
    public required double HalfReachMm { get; init; }

    /// <summary>Greatest opening, mm.</summary>
    public required double OpeningMm { get; init; }

    public bool Shake { get; init; }

    /// <summary>How far it strays from its plane, mm, and over which length.</summary>
    public double StrayMm { get; init; } = 0.2;

    public double StrayLengthMm { get; init; } = 3;

    /// <summary>Steps sideways every so many mm; 0 for one piece.</summary>
    public double StepMm { get; init; }

    /// <summary>Share of its length that is closed, 0 to 0.6.</summary>
    public double Closed { get; init; }

    /// <summary>How much of the wood's light it takes, 0 to 1.</summary>
    public double Darkness { get; init; } = 0.88;

    /// <summary>Warmth of what is left: 0 grey, 1 brown.</summary>
    public double Brown { get; init; }

    /// <summary>Brightness of a torn lip on one side, 0 to 0.5.</summary>
    public double Lip { get; init; }

    public float Salt { get; init; }

    public override float Level(in WoodPoint p) => (float)(Shape(p, out var off) - off);

    public override bool Shows(in WoodPoint p, float level)
    {
        var half = (float)Shape(p, out var off);
        return Covered((float)off, half, p.Pitch) * Darkness > 0.22;
    }

    public override void Paint(in WoodPoint p, float level, ref Light light)
    {
        var half = (float)Shape(p, out var off);
        if (off > 4 || half <= 0)
            return;
        if (Lip > 0)
        {
            var beside = ((float)off - half - 0.25f) / 0.2f;
            var side = (p.Qx * (float)Math.Cos(ThetaRad + 1.57)) + (p.Qy * (float)Math.Sin(ThetaRad + 1.57)) > 0 ? 1 : -0.4f;
            light.Dim(1 + ((float)Lip * side * MathF.Exp(-beside * beside)));
        }

        var cover = Covered((float)off, half, p.Pitch) * (float)Darkness * (0.9f + (0.15f * Noise.At(p.Z / 3f, p.U, Salt)));
        var brown = (float)Brown;
        light.Fade(Math.Min(cover, 1), light.B * 0.06f, light.G * (0.06f + (0.06f * brown)), light.R * (0.06f + (0.16f * brown)));
    }

    /// <summary>Share of a pixel that a slit covers, by the pixel's own width across it.</summary>
    private static float Covered(float off, float half, float pitch) =>
        half <= 0 ? 0 : Math.Clamp((MathF.Min(off + (pitch / 2), half) - MathF.Max(off - (pitch / 2), -half)) / pitch, 0, 1);

    /// <summary>Half opening at a place along the crack and the place's distance from the crack's middle, mm.</summary>
    private double Shape(in WoodPoint p, out double off)
    {
        off = 1e3;
        var (sin, cos) = _theta;
        if ((p.Qx * cos) + (p.Qy * sin) <= 0)
            return -1e3;
        var s = (p.Qy * cos) - (p.Qx * sin);
        var across = Shake ? s : p.U - U;
        var along = (p.Z - Z) / HalfLengthMm;
        var reach = across / HalfReachMm;
        var room = 1 - (reach * reach) - (along * along);
        if (room <= 0)
        {
            off = Math.Max(0.01, -room * Math.Min(HalfReachMm, HalfLengthMm) * 0.5);
            return 0;
        }

        // Farther than it can stray, the noise need not be asked.
        var plain = Math.Abs(Shake ? p.U - U : s);
        if (plain > (4.2 * StrayMm) + OpeningMm + 1.5)
        {
            off = plain;
            return OpeningMm / 2;
        }

        var x = (float)across;
        var stray = StrayMm * (Noise.At(x / (float)StrayLengthMm, p.Z / (float)(StrayLengthMm * 4), Salt + 1) + (0.4f * Noise.At(x / (float)(StrayLengthMm * 0.3), p.Z / (float)StrayLengthMm, Salt + 2)));
        if (StepMm > 0)
            stray += 0.9 * StrayMm * Math.Floor(2.99 * (0.5 + (0.5 * Noise.At(MathF.Floor((float)(across / StepMm)), MathF.Floor((float)(p.Z / (StepMm * 3))), Salt + 3))));
        var open = 1.0;
        if (Closed > 0)
            open = Math.Clamp((0.5 + (0.8 * Noise.At(x / 5f, p.Z / 11f, Salt + 4)) + 0.5 - (Closed * 1.6)) * 2.5, 0, 1);
        off = Math.Abs((Shake ? p.U - U : s) + stray);
        return OpeningMm / 2 * Math.Sqrt(room) * open;
    }
}
