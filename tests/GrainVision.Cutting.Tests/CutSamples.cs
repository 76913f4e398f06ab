using GrainVision.Grading.Deliveries;
using GrainVision.Grading.Pieces;

namespace GrainVision.Cutting.Tests;

/// <summary>Invented stock and cut lists.</summary>
internal static class CutSamples
{
    internal const double KerfMm = 3;

    internal const double TrimMm = 25;

    /// <summary>8 ft: 2438.4 mm.</summary>
    internal const double EightFt = 2438.4;

    internal static Delivery Delivery(params IReadOnlyList<CutListLine> lines) => new() { Supplier = "an invented mill", OrderNumber = "1", CutList = lines };

    /// <summary>A piece 8/4 x 6 in (50.8 x 152.4 mm) x 8 ft, sound from end to end for the uses named.</summary>
    internal static CutStock Sound(int number, params IReadOnlyList<string> uses) => Stock(number, [.. uses.Select(u => (u, 0.0, EightFt))]);

    internal static CutStock Stock(int number, params IReadOnlyList<(string Use, double From, double To)> clear) => new(
        new Piece { Number = number, NominalQuarters = 8, WidthIn = 6, LengthFt = 8 }, [.. clear.Select(c => new ClearLength(c.Use, c.From, c.To, []))]);

    internal static CutListLine Part(string name, double lengthMm, int count, double widthMm = 100, double thicknessMm = 40, string use = "spar") =>
        new(name, lengthMm, widthMm, thicknessMm, use, count);

    internal static CutPlan Plan(Delivery delivery, params IReadOnlyList<CutStock> stock) => CutPlanner.Plan(delivery, stock, KerfMm, TrimMm);

    internal static double VolumeMm3(Delivery delivery, CutPlan plan) => plan.Cuts.Sum(c =>
        delivery.CutList.Single(l => l.Name == c.Part) is var l ? c.CountSideBySide * l.LengthMm * l.WidthMm * l.ThicknessMm : 0);
}
