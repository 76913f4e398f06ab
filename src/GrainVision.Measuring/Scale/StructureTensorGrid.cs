using System.Runtime.CompilerServices;
using System.Runtime.Intrinsics;
using OpenCvSharp;

namespace GrainVision.Measuring.Scale;

/// <summary>
/// Structure tensor of a gray picture summed over 8x8 pixel blocks: how strong the brightness changes, in which direction,
/// and how much in one direction only.
/// </summary>
/// <remarks>
/// J. Bigun and G. H. Granlund 1987, "Optimal orientation detection of linear symmetry", ICCV, pp. 433-438.
/// Gradients are half the central difference, so that their products fit 16 bits and a 12 MP photo takes a few milliseconds.
/// </remarks>
internal sealed class StructureTensorGrid
{
    public const int Side = 8;

    private readonly int[] _xx;
    private readonly int[] _xy;
    private readonly int[] _yy;

    public StructureTensorGrid(Mat gray)
    {
        Columns = gray.Width / Side;
        Rows = gray.Height / Side;
        _xx = new int[Columns * Rows];
        _xy = new int[Columns * Rows];
        _yy = new int[Columns * Rows];
        Sum(gray);
    }

    public int Columns { get; }

    public int Rows { get; }

    /// <summary>Mean squared gradient, grey levels squared per pixel squared.</summary>
    public float Energy(int block) => (_xx[block] + _yy[block]) / (float)(Side * Side);

    /// <summary>
    /// Least mean squared gradient over all directions, for the 3x3 blocks round a block inside the grid: high where edges of several
    /// directions meet, as in a chessboard, low along straight edges and wood grain.
    /// </summary>
    public float CornerEnergy(int column, int row)
    {
        long a = 0, b = 0, c = 0;
        for (var y = row - 1; y <= row + 1; y++)
        {
            for (var i = (y * Columns) + column - 1; i <= (y * Columns) + column + 1; i++)
            {
                a += _xx[i];
                b += _xy[i];
                c += _yy[i];
            }
        }

        double d = a - c;
        double o = 2.0 * b;
        return (float)(0.5 * (a + c - Math.Sqrt((d * d) + (o * o))) / (9 * Side * Side));
    }

    /// <summary>0 (no direction) to 1 (all change in one direction).</summary>
    public float Coherence(int block)
    {
        double d = _xx[block] - _yy[block];
        double o = 2.0 * _xy[block];
        var sum = (double)_xx[block] + _yy[block];
        return sum <= 0 ? 0 : (float)(Math.Sqrt((d * d) + (o * o)) / sum);
    }

    /// <summary>Direction of the change, -pi/2 to pi/2 from the x axis.</summary>
    public double DirectionRad(int block) => 0.5 * Math.Atan2(2.0 * _xy[block], (double)_xx[block] - _yy[block]);

    private unsafe void Sum(Mat gray)
    {
        var width = Columns * Side;
        var stride = gray.Step();
        var start = (byte*)gray.Data;
        var a = new int[width];
        var b = new int[width];
        var c = new int[width];
        var height = gray.Height;
        for (var row = 0; row < Rows; row++)
        {
            Array.Clear(a);
            Array.Clear(b);
            Array.Clear(c);
            for (var y = Math.Max(1, row * Side); y < Math.Min(height - 1, (row + 1) * Side); y++)
                AddLine(start + (y * stride), stride, width, a, b, c);
            for (var column = 0; column < Columns; column++)
            {
                int sa = 0, sb = 0, sc = 0;
                for (var x = column * Side; x < (column + 1) * Side; x++)
                {
                    sa += a[x];
                    sb += b[x];
                    sc += c[x];
                }

                _xx[(row * Columns) + column] = sa;
                _xy[(row * Columns) + column] = sb;
                _yy[(row * Columns) + column] = sc;
            }
        }
    }

    private static unsafe void AddLine(byte* p, long stride, int width, int[] a, int[] b, int[] c)
    {
        var x = 1;
        fixed (int* pa = a, pb = b, pc = c)
        {
            for (; x + 16 < width; x += 16)
            {
                var gx = Half(p + x + 1, p + x - 1);
                var gy = Half(p + x + stride, p + x - stride);
                Accumulate(pa + x, gx * gx);
                Accumulate(pb + x, gx * gy);
                Accumulate(pc + x, gy * gy);
            }
        }

        for (; x < width - 1; x++)
        {
            var gx = (p[x + 1] - p[x - 1]) >> 1;
            var gy = (p[x + stride] - p[x - stride]) >> 1;
            a[x] += gx * gx;
            b[x] += gx * gy;
            c[x] += gy * gy;
        }
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static unsafe Vector256<short> Half(byte* plus, byte* minus)
    {
        var p = Widen(Vector128.Load(plus));
        var m = Widen(Vector128.Load(minus));
        return Vector256.ShiftRightArithmetic(p - m, 1);
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static Vector256<short> Widen(Vector128<byte> v)
    {
        var (low, high) = Vector128.Widen(v);
        return Vector256.Create(low.AsInt16(), high.AsInt16());
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static unsafe void Accumulate(int* at, Vector256<short> v)
    {
        var (low, high) = Vector256.Widen(v);
        (Vector256.Load(at) + low).Store(at);
        (Vector256.Load(at + 8) + high).Store(at + 8);
    }
}
