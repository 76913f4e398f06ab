namespace GrainVision.Measuring.Intake.CodedPixels;

/// <summary>The coefficients of one 4 x 4 block of lossy WebP (RFC 6386, 13), passed over.</summary>
internal static class Vp8Tokens
{
    public const int Plane = 8 * Band;

    private const int Coefficients = 16;
    private const int Band = 3 * Context;
    private const int Context = 11;

    /// <summary>13.3: the band of each coefficient; the last entry is never used.</summary>
    private static ReadOnlySpan<byte> Bands => [0, 1, 2, 3, 6, 4, 5, 6, 6, 6, 6, 6, 6, 6, 6, 7, 0];

    /// <summary>13.2: chances of the further bits of the four largest categories.</summary>
    private static readonly byte[][] LargeBits =
    [
        [173, 148, 140], [176, 155, 140, 135], [180, 157, 141, 134, 130], [254, 254, 243, 230, 196, 177, 153, 140, 133, 130, 129],
    ];

    /// <summary>Passes over a block; true where it holds anything.</summary>
    /// <param name="bits">Stands at the block.</param>
    /// <param name="plane">Chances for this kind of block: 8 bands, 3 contexts, 11 each.</param>
    /// <param name="context">How many of the blocks left and above hold anything.</param>
    /// <param name="first">1 where the first coefficient stands elsewhere.</param>
    public static bool Block(ref Vp8Bits bits, ReadOnlySpan<byte> plane, int context, int first)
    {
        var n = first;
        var p = plane[((Bands[n] * Band) + (context * Context))..];
        for (; n < Coefficients; n++)
        {
            if (!bits.Bit(p[0]))
                return n > first; // end of block
            while (!bits.Bit(p[1]))
            {
                p = plane[(Bands[++n] * Band)..];
                if (n == Coefficients)
                    return true;
            }

            var large = bits.Bit(p[2]);
            if (large)
                Large(ref bits, p);
            bits.Flag(); // sign
            p = plane[((Bands[n + 1] * Band) + ((large ? 2 : 1) * Context))..];
        }

        return true;
    }

    private static void Large(ref Vp8Bits bits, ReadOnlySpan<byte> p)
    {
        if (!bits.Bit(p[3]))
        {
            if (bits.Bit(p[4]))
                bits.Bit(p[5]);
        }
        else if (!bits.Bit(p[6]))
        {
            if (!bits.Bit(p[7]))
            {
                bits.Bit(159);
            }
            else
            {
                bits.Bit(165);
                bits.Bit(145);
            }
        }
        else
        {
            var high = bits.Bit(p[8]) ? 1 : 0;
            var low = bits.Bit(p[9 + high]) ? 1 : 0;
            foreach (var chance in LargeBits[(2 * high) + low])
                bits.Bit(chance);
        }
    }
}
