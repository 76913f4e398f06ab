using System.Numerics;
using OpenCvSharp;

namespace GrainVision.Measuring.Scale.SteelRule;

/// <summary>How periodic a short line of pixels is.</summary>
/// <param name="FrequencyPerPx">Of the strongest period, cycles per pixel.</param>
/// <param name="Share">Of the line's power in that period and its overtones, 0 to 1: 0.1 for noise, 0.2 to 0.4 for wood, above 0.6 for graduations.</param>
/// <param name="PhaseCycles">Of the period in the middle of the line, in cycles; only the fraction counts.</param>
internal readonly record struct Periodicity(double FrequencyPerPx, double Share, double PhaseCycles);

/// <summary>Takes a line of 64 pixels through a point and analyses it by a windowed discrete Fourier transform.</summary>
internal sealed unsafe class TickSpectrum(Mat gray)
{
    public const int Length = 64;

    /// <summary>Periods of 2.8 to 12.8 px are looked for at each level: with halving levels every period is seen in two, in the finer one with graduations twice as high.</summary>
    private const int FirstBin = 5;
    private const int LastBin = 23;

    /// <summary>Slower changes than 21 px are shading, not graduations.</summary>
    private const int FirstCounted = 3;
    private const int Bins = 32;

    /// <summary>The line is averaged over 5 px across: less noise, and a texture that is not straight cancels itself.</summary>
    private const int HalfAcross = 2;

    private static readonly float[] Window = MakeWindow();
    private static readonly float[] Waves = MakeWaves();

    private readonly byte* _data = gray.DataPointer;
    private readonly long _stride = gray.Step();
    private readonly int _width = gray.Width;
    private readonly int _height = gray.Height;
    private readonly float[] _line = new float[Length];
    private readonly float[] _power = new float[Bins];

    /// <summary>Analyses the line through (x, y) in a direction; null where it leaves the picture.</summary>
    public Periodicity? At(double x, double y, double directionRad)
    {
        var (dy, dx) = Math.SinCos(directionRad);
        if (!Read(x, y, dx, dy))
            return null;
        Prepare();
        var total = 0f;
        for (var k = FirstCounted; k < Bins; k++)
        {
            var re = Dot(2 * k);
            var im = Dot((2 * k) + 1);
            _power[k] = (re * re) + (im * im);
            total += _power[k];
        }

        if (total < 1e-3f)
            return null;
        var peak = FirstBin;
        for (var k = FirstBin + 1; k <= LastBin; k++)
        {
            if (_power[k] > _power[peak])
                peak = k;
        }

        // A neighbour outside the range that is stronger still means that the true peak lies outside it.
        if (_power[peak - 1] > _power[peak] || _power[peak + 1] > _power[peak])
            return null;
        var bin = peak + Interpolate(peak);
        var share = Around(bin) + Around(2 * bin) + Around(3 * bin);

        // The window is even about its middle, so that the phase there does not depend on where within the bin the period lies.
        var middle = (Math.Atan2(-Dot((2 * peak) + 1), Dot(2 * peak)) / (2 * Math.PI)) + (peak * (Length - 1) / 2.0 / Length);
        return new Periodicity(bin / Length, Math.Min(1, share / total), middle);
    }

    private bool Read(double x, double y, double dx, double dy)
    {
        const double reach = Length / 2.0;
        if (Math.Min(x, y) < 0)
            return false;
        foreach (var end in (ReadOnlySpan<double>)[-reach, reach])
        {
            foreach (var side in (ReadOnlySpan<double>)[-HalfAcross, HalfAcross])
            {
                var ex = x + (end * dx) - (side * dy);
                var ey = y + (end * dy) + (side * dx);
                if (ex < 0 || ey < 0 || ex >= _width - 1.001 || ey >= _height - 1.001)
                    return false;
            }
        }

        Array.Clear(_line);
        for (var across = -HalfAcross; across <= HalfAcross; across++)
        {
            var px = (float)(x - ((reach - 0.5) * dx) - (across * dy));
            var py = (float)(y - ((reach - 0.5) * dy) + (across * dx));
            var (sx, sy) = ((float)dx, (float)dy);
            for (var i = 0; i < Length; i++)
            {
                _line[i] += Sample(_data, _stride, px, py);
                px += sx;
                py += sy;
            }
        }

        return true;
    }

    /// <summary>Bilinear; the caller keeps the point inside.</summary>
    internal static float Sample(byte* data, long stride, float x, float y)
    {
        var ix = (int)x;
        var iy = (int)y;
        var fx = x - ix;
        var fy = y - iy;
        var p = data + (iy * stride) + ix;
        var top = p[0] + (fx * (p[1] - p[0]));
        var low = p[stride] + (fx * (p[stride + 1] - p[stride]));
        return top + (fy * (low - top));
    }

    /// <summary>Takes out mean and slope, then windows.</summary>
    private void Prepare()
    {
        float mean = 0, slope = 0;
        for (var i = 0; i < Length; i++)
        {
            mean += _line[i];
            slope += _line[i] * (i - ((Length - 1) / 2f));
        }

        mean /= Length;
        slope /= Length * ((Length * Length) - 1) / 12f;
        for (var i = 0; i < Length; i++)
            _line[i] = (_line[i] - mean - (slope * (i - ((Length - 1) / 2f)))) * Window[i] / ((2 * HalfAcross) + 1);
    }

    private float Dot(int wave)
    {
        var sum = Vector<float>.Zero;
        for (var i = 0; i < Length; i += Vector<float>.Count)
            sum += new Vector<float>(_line, i) * new Vector<float>(Waves, (wave * Length) + i);
        return Vector.Sum(sum);
    }

    /// <summary>Power within the window's main lobe round a bin.</summary>
    private double Around(double bin)
    {
        var sum = 0.0;
        for (var k = Math.Max(FirstCounted, (int)Math.Ceiling(bin - 1.7)); k <= Math.Min(Bins - 1, (int)Math.Floor(bin + 1.7)); k++)
            sum += _power[k];
        return sum;
    }

    private double Interpolate(int peak)
    {
        var a = Math.Log(_power[peak - 1] + 1e-9);
        var b = Math.Log(_power[peak] + 1e-9);
        var c = Math.Log(_power[peak + 1] + 1e-9);
        var bend = a - (2 * b) + c;
        return bend < -1e-9 ? Math.Clamp(0.5 * (a - c) / bend, -0.5, 0.5) : 0;
    }

    private static float[] MakeWindow() =>
        Enumerable.Range(0, Length).Select(i => (float)(0.5 - (0.5 * Math.Cos(2 * Math.PI * (i + 0.5) / Length)))).ToArray();

    private static float[] MakeWaves()
    {
        var waves = new float[2 * Bins * Length];
        for (var k = 0; k < Bins; k++)
        {
            for (var i = 0; i < Length; i++)
            {
                waves[(2 * k * Length) + i] = (float)Math.Cos(2 * Math.PI * k * i / Length);
                waves[(((2 * k) + 1) * Length) + i] = (float)Math.Sin(2 * Math.PI * k * i / Length);
            }
        }

        return waves;
    }
}
