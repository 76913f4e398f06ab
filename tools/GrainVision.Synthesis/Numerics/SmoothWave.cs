namespace GrainVision.Synthesis;

/// <summary>A sum of a few sine waves through the log: smooth everywhere, for geometry (ring wobble, wavy grain, pith wobble).</summary>
internal sealed class SmoothWave
{
    private readonly (Vec3 K, double Phase, double Amplitude)[] _terms;

    /// <param name="random">Directions and phases.</param>
    /// <param name="rms">Root mean square of the sum, in whatever unit the wave is of.</param>
    /// <param name="acrossMm">Shortest wavelength across the log, mm; others are up to 2.5 times as long.</param>
    /// <param name="alongMm">Shortest wavelength along the log, mm.</param>
    /// <param name="count">Number of waves.</param>
    public SmoothWave(SeededRandom random, double rms, double acrossMm, double alongMm, int count = 5)
    {
        _terms = new (Vec3, double, double)[count];
        var amplitude = rms * Math.Sqrt(2.0 / count);
        for (var i = 0; i < count; i++)
        {
            var (sin, cos) = Math.SinCos(random.Uniform(0, 2 * Math.PI));
            var across = 2 * Math.PI / (acrossMm * random.Uniform(1, 2.5));
            var along = 2 * Math.PI / (alongMm * random.Uniform(1, 2.5));
            _terms[i] = (new Vec3(across * cos, across * sin, along * random.Sign()), random.Uniform(0, 2 * Math.PI), amplitude);
        }
    }

    public double At(Vec3 p)
    {
        var sum = 0.0;
        foreach (var (k, phase, amplitude) in _terms)
            sum += amplitude * Math.Sin(k.Dot(p) + phase);
        return sum;
    }
}
