namespace GrainVision.Synthesis;

/// <summary>
/// Latewood darkness along the reference radius, summed up so that the mean over a pixel is a difference of two look-ups:
/// rings finer than a pixel blur as they do in a camera instead of making moiré.
/// </summary>
internal sealed class RingTable
{
    /// <summary>0.01 mm: a fifth of the thinnest latewood drawn.</summary>
    private const double StepMm = 0.01;

    /// <summary>0.03 mm: the late-to-early step is about one cell wide.</summary>
    private const double StepWidthMm = 0.03;

    /// <summary>0.05 mm: fine enough to place a pore.</summary>
    private const float PhaseStepMm = 0.05f;

    private readonly float[] _phase;
    private readonly float[] _early;
    private readonly float[] _value;
    private readonly double[] _sum;
    private readonly float _from;

    public RingTable(RingSequence rings, SpeciesLook look, double fromMm, double toMm)
    {
        _from = (float)Math.Max(0, fromMm);
        var n = (int)Math.Ceiling((toMm - _from) / StepMm) + 2;
        _value = new float[n];
        _sum = new double[n + 1];
        for (var i = 0; i < n; i++)
        {
            _value[i] = (float)Darkness(rings, look, _from + ((i + 0.5) * StepMm));
            _sum[i + 1] = _sum[i] + _value[i];
        }

        _phase = new float[(int)((toMm - _from) / PhaseStepMm) + 2];
        _early = new float[_phase.Length];
        for (var i = 0; i < _phase.Length; i++)
        {
            var u = _from + (i * PhaseStepMm);
            var k = rings.IndexAt(u);
            _phase[i] = (float)((u - rings.Radii[k]) / (rings.Radii[k + 1] - rings.Radii[k]));
            _early[i] = (float)(1 - rings.Latewood[k]);
        }
    }

    /// <summary>Share of its ring that a radius has passed, 0 to 1, and the share that is earlywood.</summary>
    public float PhaseAt(float u, out float earlywood)
    {
        var i = Math.Clamp((int)((u - _from) * (1 / PhaseStepMm)), 0, _phase.Length - 1);
        earlywood = _early[i];
        return _phase[i];
    }

    /// <summary>Mean darkness between two radii around u, mm.</summary>
    public float Mean(float u, float half)
    {
        var lo = Sum(u - half);
        var hi = Sum(u + half);
        return (float)((hi - lo) * (StepMm / (2 * half)));
    }

    private double Sum(float u)
    {
        var x = (u - _from) * (float)(1 / StepMm);
        x = Math.Clamp(x, 0, _value.Length - 1);
        var i = (int)x;
        return _sum[i] + ((x - i) * _value[i]);
    }

    private static double Darkness(RingSequence rings, SpeciesLook look, double u)
    {
        var k = rings.IndexAt(u);
        var width = rings.Radii[k + 1] - rings.Radii[k];
        var phase = (u - rings.Radii[k]) / width;
        var dark = look.RingPorous ? Porous(rings, look, k, phase) : Softwood(rings, look, k, phase);
        // The sharp step: a ramp of one cell, centred on the boundary.
        var before = phase * width;
        if (before < StepWidthMm / 2 && k > 0)
        {
            var t = 0.5 - (before / StepWidthMm);
            var last = look.RingPorous ? Porous(rings, look, k - 1, 1) : Softwood(rings, look, k - 1, 1);
            dark += t * (last - dark);
        }
        else if ((width - before) < StepWidthMm / 2 && k + 1 < rings.Count)
        {
            var t = 0.5 - ((width - before) / StepWidthMm);
            var next = look.RingPorous ? Porous(rings, look, k + 1, 0) : Softwood(rings, look, k + 1, 0);
            dark += t * (next - dark);
        }

        return dark;
    }

    private static double Softwood(RingSequence rings, SpeciesLook look, int k, double phase)
    {
        var start = 1 - rings.Latewood[k];
        var slope = Math.Max(look.Gradual, 0.02) / 4;
        var late = 1 / (1 + Math.Exp(-(phase - start) / slope));
        // Earlywood darkens a little towards the latewood; the last cells are the darkest.
        var ramp = (0.10 * phase) + (0.12 * late * (phase - start) / rings.Latewood[k]);
        var bump = rings.FalseRing[k];
        if (bump > 0)
        {
            var t = (phase - (start * 0.72)) / 0.05;
            bump *= Math.Exp(-t * t);
        }

        return Math.Min(1.15, (rings.Darkness[k] * late * 0.88) + ramp + bump);
    }

    /// <summary>Ash: 0 is the porous earlywood's ground colour, 1 the dense latewood; the pores themselves are drawn apart.</summary>
    private static double Porous(RingSequence rings, SpeciesLook look, int k, double phase)
    {
        var start = 1 - rings.Latewood[k];
        var slope = look.Gradual / 5;
        var late = 1 / (1 + Math.Exp(-(phase - start) / slope));
        return Math.Min(1, rings.Darkness[k]) * late;
    }
}
