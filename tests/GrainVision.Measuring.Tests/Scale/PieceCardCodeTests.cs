using System.Numerics;
using GrainVision.Grading.Cards;
using GrainVision.Grading.Deliveries;
using GrainVision.Grading.Findings;
using GrainVision.Measuring.Scale;

namespace GrainVision.Measuring.Tests.Scale;

/// <summary>The code by itself: distances that its papers promise, checked by counting.</summary>
public sealed class PieceCardCodeTests
{
    private static readonly PieceCard[] Some =
        [.. from n in new[] { 1, 2, 31, 40, 199, 200, 511, 960 } from s in Enum.GetValues<Surface>() select new PieceCard(n, s)];

    [Fact]
    public void Encode_EveryNumberAndSurface_ReadsBackWholeAndWithTwoMissing()
    {
        for (var number = 1; number <= PieceCardCode.GreatestNumber; number += 7)
        {
            var card = new PieceCard(number, (Surface)(number % 6));
            var word = PieceCardCode.Encode(card).Select(s => (int?)s).ToArray();
            Assert.Equal(card, PieceCardCode.Decode(word));
            word[number % 6] = null;
            word[(number + 2) % 6] = null;
            Assert.Equal(card, PieceCardCode.Decode(word));
            word[(number + 3) % 6] = null;
            Assert.Null(PieceCardCode.Decode(word));
        }
    }

    [Fact]
    public void Encode_AnyTwoCards_DifferInFourSymbols()
    {
        // Reed and Solomon 1960: n - k + 1 = 4.
        var words = Some.Select(PieceCardCode.Encode).ToArray();
        for (var i = 0; i < words.Length; i++)
        {
            for (var j = 0; j < i; j++)
                Assert.True(words[i].Zip(words[j]).Count(p => p.First != p.Second) >= 4);
        }
    }

    [Fact]
    public void Decode_OneToThreeWrongSymbols_NeverAnotherCard()
    {
        var random = new Random(11);
        foreach (var card in Some)
        {
            for (var wrong = 1; wrong <= 3; wrong++)
            {
                var word = PieceCardCode.Encode(card).Select(s => (int?)s).ToArray();
                foreach (var at in Enumerable.Range(0, 6).OrderBy(_ => random.Next()).Take(wrong))
                    word[at] = (word[at] + 1 + random.Next(30)) % 31;
                Assert.Null(PieceCardCode.Decode(word));
            }
        }
    }

    [Fact]
    public void Bits_AnySymbols_EightBitsApartAndThreeFromEveryPlainMarker()
    {
        var all = Enumerable.Range(0, 31).Select(PieceCardCode.Bits).ToArray();
        for (var i = 0; i < all.Length; i++)
        {
            // Muller 1954: distance of the first-order code of length 16.
            Assert.All(all[..i], other => Assert.True(BitOperations.PopCount((uint)(other ^ all[i])) >= 8));
            for (var id = 0; id < CardDesign.MarkerCount; id++)
            {
                var plain = CardMarkers.Bits(id);
                for (var turn = 0; turn < 4; turn++, plain = Turned(plain))
                    Assert.True(BitOperations.PopCount((uint)(plain ^ all[i])) >= 3, $"symbol {i}, marker {id}");
            }
        }
    }

    [Theory]
    [InlineData(0)]
    [InlineData(961)]
    [InlineData(-5)]
    public void Encode_NumberThatCannotBeCoded_Throws(int number) =>
        Assert.Throws<ArgumentOutOfRangeException>(() => PieceCardCode.Encode(new PieceCard(number, Surface.EndA)));

    private static int Turned(int bits)
    {
        var turned = 0;
        for (var i = 0; i < 16; i++)
            turned |= ((bits >> i) & 1) << (((i % 4) * 4) + 3 - (i / 4));
        return turned;
    }
}
