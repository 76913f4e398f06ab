using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using static GrainVision.Grading.Tests.Verdicts.Samples;
using static GrainVision.Grading.Findings.VerdictOutcome;

namespace GrainVision.Grading.Tests.Verdicts;

/// <summary>
/// Thousands of random findings, each with truths drawn from inside their intervals. The limits are written down here a second
/// time, straight from the standards, so that a slip in a book or in the judge shows. A wrong accept is the worst bug there is.
/// </summary>
public class WrongAcceptHuntTests
{
    private const int Runs = 20_000;

    private const double In = 25.4;

    // ANC-19 Table 2-13; the stricter figure where the class is not said or the scan is doubtful.
    private static readonly Dictionary<string, double> LeastRings = new()
    {
        ["sitka-spruce"] = 6, ["red-spruce"] = 6, ["white-spruce"] = 6, ["douglas-fir"] = 8, ["douglas-fir-class-l"] = 6, ["noble-fir"] = 6,
        ["western-hemlock"] = 6, ["yellow-poplar"] = 6, ["port-orford-cedar"] = 8, ["eastern-white-pine"] = 6, ["western-white-pine"] = 6, ["sugar-pine"] = 7,
    };

    // AC 43.13-1B Table 1-1.
    private static readonly HashSet<string> SlopeListed =
    [
        "sitka-spruce", "red-spruce", "white-spruce", "douglas-fir", "douglas-fir-class-l", "noble-fir", "western-hemlock", "yellow-poplar", "port-orford-cedar",
        "eastern-white-pine",
    ];

    private static readonly string?[] Species = [null, "white-ash", "black-ash", "balsa", .. LeastRings.Keys];

    private static readonly BlemishKind[] Kinds = Enum.GetValues<BlemishKind>();

    [Fact]
    public void End_RandomFindings_NoAcceptWhereATruthBreaksALimitAndNoRejectWhereAllTruthsKeepIt()
    {
        var random = new Random(20);
        var (accepts, rejects) = (0, 0);
        for (var i = 0; i < Runs; i++)
        {
            var m = RandomEnd(random);
            var verdict = m.Judged();
            if (verdict.Outcome == Accept)
            {
                accepts++;
                Assert.True(m.Rings is not null && m.RingAngle is not null, "accepted without a finding");
                Assert.True(m.Blemishes.Count == 0, "accepted an end with a candidate");
                Assert.True(m.Species is null || LeastRings.ContainsKey(m.Species), $"accepted {m.Species}");
                Assert.All(Truths(m.Rings!.WorstInch, random), rings => Assert.True(rings >= (m.Species is null ? 8 : LeastRings[m.Species]) - 1e-9, $"{m.Species} {rings}"));
                Assert.All(Truths(m.RingAngle!.Degrees, random), angle => Assert.True(angle >= 45 - 1e-9));
                Assert.True(m.RingAngle!.Least >= 45 - 1e-9);
                Assert.False(m.RingAngle.Pith?.Boxed ?? false);
            }

            if (verdict.Of("rings-per-inch").Outcome == Reject)
            {
                rejects++;
                var lax = m.Species is null or "douglas-fir" or "sugar-pine" ? 6 : LeastRings[m.Species];
                Assert.All(Truths(m.Rings!.WorstInch, random), rings => Assert.True(rings < lax, $"{m.Species} {rings}"));
            }
        }

        // The hunt must meet both, or it proves nothing.
        Assert.True(accepts > 300 && rejects > 300, $"{accepts} accepts, {rejects} rejects");
    }

    [Fact]
    public void Face_RandomFindings_NoAcceptWhereATruthBreaksALimitAndNoRejectWhereAllTruthsKeepIt()
    {
        var random = new Random(21);
        var (accepts, withKnot, rejects) = (0, 0, 0);
        for (var i = 0; i < Runs; i++)
        {
            var m = RandomFace(random);
            var verdict = m.Judged();
            if (verdict.Outcome == Accept)
            {
                accepts++;
                withKnot += m.Blemishes.Count > 0 ? 1 : 0;
                Assert.True(m.Species is null || SlopeListed.Contains(m.Species), $"accepted {m.Species}");
                Assert.NotNull(m.Grain?.OuterEighths);
                foreach (var slope in new[] { m.Grain.Slope, m.Grain.WorstWindow, m.Grain.OuterEighths.Value })
                {
                    // Even an adjacent face as steep as this one must not bring the two together over 1:15.
                    Assert.All(Truths(slope, random), s => Assert.True(Math.Sqrt(2 * s * s) <= (1.0 / 15) + 1e-9, $"{s}"));
                }

                Assert.All(m.Blemishes, b => CheckAccepted(m, b, random));
            }

            if (verdict.Of("slope-of-grain").Outcome == Reject)
            {
                rejects++;
                var slopes = new[] { m.Grain!.Slope, m.Grain.WorstWindow, m.Grain.OuterEighths ?? m.Grain.Slope };
                Assert.Contains(slopes, slope => Truths(slope, random).All(s => Math.Abs(s) > 1.0 / 15));
            }
        }

        Assert.True(accepts > 300 && withKnot > 100 && rejects > 300, $"{accepts} accepts, {withKnot} with a knot, {rejects} rejects");
    }

    /// <summary>Small parts and shop orders: a face with any candidate at all is never accepted.</summary>
    [Fact]
    public void Face_AnyCandidate_IsNeverAcceptedBySmallPartsOrShopOrder()
    {
        var random = new Random(22);
        for (var i = 0; i < Runs / 10; i++)
        {
            var m = RandomFace(random) with { Blemishes = [RandomBlemish(random)] };
            foreach (var book in new[] { "cap-strip", "longeron-and-small-parts", "shop-order" })
                Assert.NotEqual(Accept, m.Judged(book).Outcome);
        }
    }

    private static void CheckAccepted(Measurement m, BlemishFinding b, Random random)
    {
        // AC 43.13-1B Table 1-1 notes.
        Assert.Equal(BlemishKind.Knot, b.Kind);
        Assert.True(b.Probability >= 0.95);
        Assert.All(Truths(b.EdgeSlope!.Value, random), s => Assert.True(Math.Sqrt(2 * s * s) <= (1.0 / 15) + 1e-9, $"{s}"));
        Assert.All(Truths(b.DiameterMm, random).Concat(Truths(b.SizeMm, random)), d => Assert.True(d <= (0.375 * In) + 1e-9));
        Assert.True(b.AcrossMm - (b.WidthMm / 2) >= (WidthMm / 3) - 0.001 && b.AcrossMm + (b.WidthMm / 2) <= (2 * WidthMm / 3) + 0.001);
        foreach (var other in m.Blemishes.Where(o => !ReferenceEquals(o, b)))
            Assert.All(Truths(b.DiameterMm, random), d => Assert.True(Math.Abs(b.AlongMm - other.AlongMm) >= (20 * d / 0.375) - 1e-6));
    }

    private static Measurement RandomEnd(Random random)
    {
        var worst = Spread(random, 4 + (random.NextDouble() * 8), 0.8);
        var mean = Spread(random, worst.Value + (random.NextDouble() * 3), 0.5);
        var middle = 30 + (random.NextDouble() * 60);
        var degrees = Spread(random, middle, 3).ClampTo(0, 90);
        var angle = new RingAngleFinding(degrees, middle - (random.NextDouble() * 10), Math.Min(90, middle + (random.NextDouble() * 10)), CutClass.From(middle), RandomPith(random));
        var m = End(worst, mean, angle, Pick(random, Species));
        return random.Next(40) switch
        {
            0 => m with { Rings = null },
            1 => m with { RingAngle = null },
            2 => m with { Blemishes = [RandomBlemish(random)] },
            3 => m with { CannotSay = [new CannotSay(CannotSayTopic.Rings, "blur", "count")] },
            _ => m,
        };
    }

    private static PithFinding? RandomPith(Random random)
    {
        if (random.Next(3) == 0)
            return null;
        var at = new PointPx(-1000 + (random.NextDouble() * 3500), -1500 + (random.NextDouble() * 3500));
        var inside = at.X is > 0 and < 1500 && at.Y is > 0 and < 500;
        return new PithFinding(at.X, at.Y, Spread(random, at.DistanceTo(new PointPx(750, 250)) / 10, 5)) { Boxed = inside };
    }

    private static Measurement RandomFace(Random random)
    {
        var m = Face(null, random.Next(2) == 0 ? GrainBasis.RingLines : GrainBasis.FibreStreaks, Pick(random, Species));
        var steep = random.NextDouble() * 0.1;
        Measured One() => Spread(random, (random.Next(2) == 0 ? -1 : 1) * steep * random.NextDouble(), 0.02);
        m = m with { Grain = m.Grain! with { Slope = One(), WorstWindow = One(), OuterEighths = random.Next(20) == 0 ? null : One() } };
        return m with { Blemishes = [.. Enumerable.Range(0, random.Next(3)).Select(_ => RandomBlemish(random))] };
    }

    private static BlemishFinding RandomBlemish(Random random) => Knot(
        2 + (random.NextDouble() * 9), random.NextDouble() * 1500, random.Next(3) == 0 ? random.NextDouble() * WidthMm : 60 + (random.NextDouble() * 30),
        random.NextDouble(), random.Next(3) == 0 ? random.NextDouble() : 0.95 + (0.05 * random.NextDouble()), random.Next(3) == 0 ? Pick(random, Kinds) : BlemishKind.Knot) with
    {
        EdgeSlope = random.Next(8) == 0 ? null : Spread(random, (random.NextDouble() - 0.5) * 0.12, 0.01),
    };

    private static Measured Spread(Random random, double value, double most) =>
        new(value, value - (random.NextDouble() * most), value + (random.NextDouble() * most));

    /// <summary>Both ends and some between.</summary>
    private static IEnumerable<double> Truths(Measured m, Random random) =>
        [m.Low, m.High, .. Enumerable.Range(0, 4).Select(_ => m.Low + (random.NextDouble() * (m.High - m.Low)))];

    private static T Pick<T>(Random random, T[] from) => from[random.Next(from.Length)];
}
