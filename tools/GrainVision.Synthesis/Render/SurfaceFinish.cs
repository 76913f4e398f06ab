namespace GrainVision.Synthesis;

/// <summary>What the saw or the planer left on a surface, as a factor on its brightness.</summary>
public sealed record SurfaceFinish
{
    /// <summary>Strength of saw marks, 0 to about 0.15.</summary>
    public double SawMarks { get; init; }

    /// <summary>Mean distance between saw marks, mm.</summary>
    public double SawPitchMm { get; init; } = 1.6;

    /// <summary>Direction of the marks against side 1-2, rad.</summary>
    public double SawAngleRad { get; init; } = Math.PI / 2;

    /// <summary>Radius of a circular saw's arcs, mm; 0 for straight band-saw marks.</summary>
    public double SawArcMm { get; init; }

    /// <summary>Strength of planer waves, 0 to about 0.05.</summary>
    public double PlanerWaves { get; init; }

    /// <summary>Planer cutter pitch, mm.</summary>
    public double PlanerPitchMm { get; init; } = 2.2;

    /// <summary>Fuzz of the surface at every scale, 0 to about 0.1.</summary>
    public double Fuzz { get; init; }

    /// <summary>Strength of large smudges of dirt, 0 to about 0.3.</summary>
    public double Dirt { get; init; }

    /// <summary>Raggedness of the arrises, mm.</summary>
    public double ArrisRoughnessMm { get; init; }

    /// <summary>Darker by this share and more, a smudge is dirt that a person sees.</summary>
    private const float SeenDirt = 0.05f;

    /// <summary>A saw or planer mark this far off the surface's mean is one that a person sees.</summary>
    private const float SeenMark = 0.05f;

    internal bool ShowsDirt(float x, float y) => Dirt > 0 && Smudge(x, y) > SeenDirt;

    internal bool ShowsMachining(float x, float y, float pitch) =>
        SawMarks + PlanerWaves > SeenMark / 2 && MathF.Abs(Factor(x, y, pitch) - 1) > SeenMark;

    /// <summary>The tool's marks alone.</summary>
    internal SurfaceFinish ToolMarks() => this with { Fuzz = 0, Dirt = 0 };

    private float Smudge(float x, float y) =>
        (float)Dirt * (Noise.At(x / 19f, y / 19f, 13.1f) + (0.5f * Noise.At(x / 5f, y / 5f, 17.1f)) - 0.35f);

    /// <summary>Brightness factor at a place of the surface.</summary>
    internal float Factor(float x, float y, float pitch)
    {
        var f = 1f;
        if (SawMarks > 0)
        {
            var (sin, cos) = MathF.SinCos((float)SawAngleRad);
            var across = (x * sin) - (y * cos);
            var along = (x * cos) + (y * sin);
            if (SawArcMm > 0)
                across += along * along / (float)(2 * SawArcMm);
            var v = across / (float)SawPitchMm;
            var scratch = Noise.At(v, along / 40f, 20.5f) + (0.6f * Noise.At(v * 2.7f, along / 12f, 31.5f));
            f += (float)SawMarks * scratch;
        }

        if (PlanerWaves > 0)
            f += (float)PlanerWaves * MathF.Sin(x * (float)(2 * Math.PI / PlanerPitchMm)) * (0.7f + (0.5f * Noise.At(x / 60f, y / 30f, 7.7f)));
        if (Fuzz > 0)
            f += (float)Fuzz * (Noise.At(x / 0.45f, y / 0.45f, 40.5f) + Noise.At(x / (1.3f * pitch), y / (1.3f * pitch), 50.5f));
        if (Dirt > 0)
        {
            var d = Noise.At(x / 19f, y / 19f, 13.1f) + (0.5f * Noise.At(x / 5f, y / 5f, 17.1f)) - 0.35f;
            if (d > 0)
                f -= (float)Dirt * d;
        }

        return f;
    }
}
