using System.Runtime.CompilerServices;

namespace GrainVision.Synthesis;

/// <summary>
/// Value noise from one fixed table: a white lattice, interpolated linearly, wrapping every 64 cells.
/// Fast rather than fine; whoever needs smooth geometry uses <see cref="SmoothWave"/>.
/// </summary>
internal static class Noise
{
    private const int Bits = 6;
    private const int Size = 1 << Bits;
    private const int Mask = Size - 1;
    private static readonly float[] Table = Fill();

    /// <summary>-1 to 1, mean 0; one lattice cell a unit.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static float At(float x, float y, float z)
    {
        var fx = MathF.Floor(x);
        var fy = MathF.Floor(y);
        var fz = MathF.Floor(z);
        var tx = x - fx;
        var ty = y - fy;
        var tz = z - fz;
        var x0 = (int)fx & Mask;
        var x1 = (x0 + 1) & Mask;
        var y0 = ((int)fy & Mask) << Bits;
        var y1 = (y0 + Size) & (Mask << Bits);
        var z0 = ((int)fz & Mask) << (2 * Bits);
        var z1 = (z0 + (Size * Size)) & (Mask << (2 * Bits));
        var t = Table;
        var a = t[z0 | y0 | x0] + (tx * (t[z0 | y0 | x1] - t[z0 | y0 | x0]));
        var b = t[z0 | y1 | x0] + (tx * (t[z0 | y1 | x1] - t[z0 | y1 | x0]));
        var c = t[z1 | y0 | x0] + (tx * (t[z1 | y0 | x1] - t[z1 | y0 | x0]));
        var d = t[z1 | y1 | x0] + (tx * (t[z1 | y1 | x1] - t[z1 | y1 | x0]));
        var ab = a + (ty * (b - a));
        var cd = c + (ty * (d - c));
        return ab + (tz * (cd - ab));
    }

    /// <summary>The same in a plane (z = 0 of the table).</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static float At(float x, float y)
    {
        var fx = MathF.Floor(x);
        var fy = MathF.Floor(y);
        var tx = x - fx;
        var ty = y - fy;
        var x0 = (int)fx & Mask;
        var x1 = (x0 + 1) & Mask;
        // Rows continue into the next slices so that the plane repeats only every 4096 cells in y.
        var y0 = ((int)fy & 4095) << Bits;
        var y1 = (y0 + Size) & (4095 << Bits);
        var t = Table;
        var a = t[y0 | x0] + (tx * (t[y0 | x1] - t[y0 | x0]));
        var b = t[y1 | x0] + (tx * (t[y1 | x1] - t[y1 | x0]));
        return a + (ty * (b - a));
    }

    /// <summary>A 32-bit hash of a lattice cell: for pores, ducts and other things that sit in cells.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static uint Hash(int x, int y, int z)
    {
        var h = ((uint)x * 0x9E3779B1u) ^ ((uint)y * 0x85EBCA77u) ^ ((uint)z * 0xC2B2AE3Du);
        h ^= h >> 15;
        h *= 0x2C1B3C6Du;
        h ^= h >> 12;
        h *= 0x297A2D39u;
        return h ^ (h >> 15);
    }

    private static float[] Fill()
    {
        var table = new float[Size * Size * Size];
        var x = 20260101UL;
        for (var i = 0; i < table.Length; i++)
            table[i] = (float)(((SeededRandom.SplitMix(ref x) >> 11) * (2.0 / (1UL << 53))) - 1);
        return table;
    }
}
