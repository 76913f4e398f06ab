using GrainVision.Grading.Findings;
using GrainVision.Grading.Pieces;

namespace GrainVision.Grading.Cards;

/// <summary>
/// Piece number and surface as six symbols, each drawn as a marker: a Reed-Solomon word over the field of 31 elements, three symbols of
/// data (number / 31, number mod 31, surface) and three of check. Any two words differ in four symbols or more, so that up to three wrong ones
/// are seen as wrong; wrong ones are never mended, because a photo sorted to a wrong piece is worse than one left for a person.
/// </summary>
/// <remarks>
/// I. S. Reed and G. Solomon 1960, "Polynomial codes over certain finite fields", J. SIAM 8(2), doi:10.1137/0108018: the data are the
/// coefficients of a quadratic, the symbols its values at 1 to 6. The 16 bits of a symbol are a first-order Reed-Muller word (D. E. Muller
/// 1954, doi:10.1109/IREPGELC.1954.6499441): any two differ in 8 bits.
/// </remarks>
public static class PieceCardCode
{
    /// <summary>31: the prime below the 32 words of the Reed-Muller code of length 16.</summary>
    public const int Field = 31;

    /// <summary>Symbols of a word.</summary>
    public const int Length = 6;

    /// <summary>4: three fix the quadratic, the fourth must agree with it.</summary>
    public const int LeastRead = 4;

    /// <summary>960: two digits of base 31, 0 left out.</summary>
    public const int GreatestNumber = (Field * Field) - 1;

    /// <summary>
    /// Laid over every symbol: of the 65,536 masks one of those that keep every symbol at least three bits from every marker of the plain card,
    /// however turned, and give each 6 to 10 black bits (it is a bent function of the place).
    /// </summary>
    public const int Mask = 0x0653;

    /// <summary>Six symbols, each 0 to 30.</summary>
    public static int[] Encode(PieceCard card)
    {
        ArgumentNullException.ThrowIfNull(card);
        if (card.PieceNumber is < 1 or > GreatestNumber)
            throw new ArgumentOutOfRangeException(nameof(card), card.PieceNumber, $"A piece card's number is 1 to {GreatestNumber}.");
        int[] data = [card.PieceNumber / Field, card.PieceNumber % Field, (int)card.Surface];
        return [.. Enumerable.Range(1, Length).Select(x => Value(data, x))];
    }

    /// <summary>What the symbols say; null where fewer than <see cref="LeastRead"/> were read or they do not all agree.</summary>
    /// <param name="symbols">Six, null where not read.</param>
    public static PieceCard? Decode(IReadOnlyList<int?> symbols)
    {
        ArgumentNullException.ThrowIfNull(symbols);
        if (symbols.Count(s => s is not null) < LeastRead)
            return null;
        // 5,766 words: trying each is quick enough, and there is nothing to get wrong.
        foreach (var surface in Enum.GetValues<Surface>())
        {
            for (var number = 1; number <= GreatestNumber; number++)
            {
                if (Agrees([number / Field, number % Field, (int)surface], symbols))
                    return new PieceCard(number, surface);
            }
        }

        return null;
    }

    /// <summary>Bits of a symbol, 16, row by row; a set bit is a black cell.</summary>
    public static int Bits(int symbol)
    {
        var bits = 0;
        for (var i = 0; i < 16; i++)
        {
            // Affine function of the four bits of i: the constant is the symbol's highest bit.
            var on = (symbol >> 4) ^ (int.PopCount(symbol & i & 15) & 1);
            bits |= (on & 1) << i;
        }

        return bits ^ Mask;
    }

    private static bool Agrees(ReadOnlySpan<int> data, IReadOnlyList<int?> symbols)
    {
        for (var i = 0; i < Length; i++)
        {
            if (symbols[i] is { } s && s != Value(data, i + 1))
                return false;
        }

        return true;
    }

    private static int Value(ReadOnlySpan<int> data, int x) => (data[0] + (data[1] * x) + (data[2] * x * x)) % Field;
}
