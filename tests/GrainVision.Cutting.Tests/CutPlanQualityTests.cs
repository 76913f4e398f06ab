using System.Diagnostics;
using System.Text.Json;
using GrainVision.Grading.Deliveries;
using GrainVision.Grading.Pieces;
using Xunit.Abstractions;
using static GrainVision.Cutting.Tests.CutSamples;

namespace GrainVision.Cutting.Tests;

public class CutPlanQualityTests(ITestOutputHelper output)
{
    private static readonly string[] Uses = ["spar", "cap-strip"];

    [Fact]
    public void Plan_TinyInstances_AreAsGoodAsTryingEverything()
    {
        var random = new Random(41);
        for (var i = 0; i < 120; i++)
        {
            var delivery = Delivery([.. Enumerable.Range(0, random.Next(1, 4)).Select(n => Part(
                $"part {n}", random.Next(30, 180) * 10, random.Next(1, 4), random.Next(2) == 0 ? 70 : 140, random.Next(2) == 0 ? 20 : 45, Uses[random.Next(2)]))]);
            CutStock[] stock = [.. Enumerable.Range(1, random.Next(1, 4)).Select(n => Stock(n, [.. Uses.SelectMany(u => Windows(random, u))]))];
            var plan = Plan(delivery, stock);
            var (parts, used) = BruteForce.Best(delivery, stock);
            Assert.True(plan.IsProvenBest);
            Assert.Equal(parts, VolumeMm3(delivery, plan), 1e-3);
            Assert.Equal(used > 0 ? 1 - (parts / used) : 0, plan.WasteFraction, 1e-9);
            AssertSound(delivery, stock, plan);
        }
    }

    [Fact]
    public void Plan_FortyPiecesAndTwentyParts_TakesSecondsAndIsTheSameAgain()
    {
        var (delivery, stock) = Large(7, count: 12);
        var clock = Stopwatch.StartNew();
        var plan = CutPlanner.Plan(delivery, stock);
        output.WriteLine($"{clock.Elapsed.TotalSeconds:0.0} s, proven {plan.IsProvenBest}, waste {plan.WasteFraction:0.000}, missing {plan.Missing.Values.Sum()} of {delivery.CutList.Sum(l => l.Count)}");
        Assert.InRange(clock.Elapsed.TotalSeconds, 0, 60); // a loaded machine of two cores; alone it is a few
        AssertSound(delivery, stock, plan);
        Assert.Equal(JsonSerializer.Serialize(plan), JsonSerializer.Serialize(CutPlanner.Plan(delivery, [.. stock.Reverse()])));
    }

    [Fact] // more parts are asked for than there is wood: the bound of a fractional filling says how good the plan can be at all
    public void Plan_MorePartsThanWood_FillsNearlyAllThatCanBeFilled()
    {
        var (delivery, stock) = Large(8, count: 200);
        var clock = Stopwatch.StartNew();
        var plan = CutPlanner.Plan(delivery, stock);
        AssertSound(delivery, stock, plan);
        var most = FractionalBoundMm3(delivery, stock);
        output.WriteLine($"{clock.Elapsed.TotalSeconds:0.0} s, proven {plan.IsProvenBest}, {VolumeMm3(delivery, plan) / most:0.000} of the bound, waste {plan.WasteFraction:0.000}");
        Assert.InRange(VolumeMm3(delivery, plan) / most, 0.9, 1);
    }

    [Fact]
    public void Plan_NoTimeAtAll_IsNotCalledProven()
    {
        var (delivery, stock) = Large(7, count: 60);
        var plan = CutPlanner.Plan(delivery, stock, deterministicSeconds: 0);
        Assert.False(plan.IsProvenBest);
        AssertSound(delivery, stock, plan);
    }

    /// <summary>
    /// No plan covers more: all clear lengths of all uses laid end to end and filled with fractions of blocks, the fullest section first.
    /// </summary>
    private static double FractionalBoundMm3(Delivery delivery, IReadOnlyList<CutStock> stock)
    {
        var leftMm = stock.Sum(s => s.ClearLengths.GroupBy(c => c.RuleBook).Max(g => g.Max(c => c.ToMm)) + (2 * KerfMm) - (2 * TrimMm));
        var volume = 0.0;
        foreach (var line in delivery.CutList.OrderByDescending(l => Mm2(l) * l.LengthMm / (l.LengthMm + KerfMm)))
        {
            var blocks = Mm2(line) > 0 ? Math.Min(line.Count / (double)Side(line), leftMm / (line.LengthMm + KerfMm)) : 0;
            volume += blocks * Mm2(line) * line.LengthMm;
            leftMm -= blocks * (line.LengthMm + KerfMm);
        }

        return volume;
    }

    private static int Side(CutListLine line) => new Section(152.4, 50.8).CountOf(line, KerfMm);

    private static double Mm2(CutListLine line) => Side(line) * line.WidthMm * line.ThicknessMm;

    private static (Delivery Delivery, IReadOnlyList<CutStock> Stock) Large(int seed, int count)
    {
        var random = new Random(seed);
        var delivery = Delivery([.. Enumerable.Range(0, 20).Select(n => Part(
            $"part {n}", random.Next(250, 2300), random.Next(1, count), random.Next(15, 150), random.Next(8, 48), Uses[n % 2]))]);
        return (delivery, [.. Enumerable.Range(1, 40).Select(n => Stock(n, [.. Uses.SelectMany(u => Windows(new Random((seed * 100) + n), u))]))]);
    }

    private static IEnumerable<(string Use, double From, double To)> Windows(Random random, string use)
    {
        if (random.Next(4) == 0)
        {
            yield return (use, 0, EightFt);
            yield break;
        }

        var middle = random.Next(40, 200) * 10;
        yield return (use, 0, middle);
        if (random.Next(2) == 0)
            yield return (use, middle + 100, EightFt);
    }

    /// <summary>What any plan must keep to, from the pieces and the list alone.</summary>
    private static void AssertSound(Delivery delivery, IReadOnlyList<CutStock> stock, CutPlan plan)
    {
        foreach (var cut in plan.Cuts)
        {
            var (line, piece) = (delivery.CutList.Single(l => l.Name == cut.Part), stock.Single(s => s.Piece.Number == cut.PieceNumber));
            Assert.Equal(line.LengthMm, cut.ToMm - cut.FromMm, 1e-6);
            Assert.Contains(piece.ClearLengths, c => c.RuleBook == line.RuleBook && c.FromMm <= cut.FromMm && cut.ToMm <= c.ToMm);
            Assert.True(cut.FromMm >= TrimMm && cut.ToMm <= EightFt - TrimMm + 1e-6);
            Assert.InRange(cut.CountSideBySide, 1, new Section(152.4, 50.8).CountOf(line, KerfMm));
        }

        foreach (var piece in plan.Cuts.GroupBy(c => c.PieceNumber))
            Assert.All(piece.Zip(piece.Skip(1)), p => Assert.True(p.Second.FromMm - p.First.ToMm >= KerfMm - 1e-6));
        foreach (var line in delivery.CutList)
            Assert.Equal(line.Count, plan.Cuts.Where(c => c.Part == line.Name).Sum(c => c.CountSideBySide) + plan.Missing.GetValueOrDefault(line.Name));
    }
}
