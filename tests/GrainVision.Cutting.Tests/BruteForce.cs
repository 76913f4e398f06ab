using GrainVision.Grading.Deliveries;
using GrainVision.Grading.Pieces;
using static GrainVision.Cutting.Tests.CutSamples;

namespace GrainVision.Cutting.Tests;

/// <summary>
/// The best plan of a tiny instance by trying every order of blocks on every piece, each as far to the left as it goes. Knows nothing of zones or of the solver:
/// any plan can be pushed to the left block by block, so none is missed.
/// </summary>
internal static class BruteForce
{
    private const double Tiny = 1e-6;

    /// <summary>Greatest volume of parts, and the least volume of stock that gives it, mm3.</summary>
    internal static (double Parts, double Stock) Best(Delivery delivery, IReadOnlyList<CutStock> stock)
    {
        var lines = delivery.CutList;
        var perPiece = stock.Select(s => Makes(s, lines)).ToList();
        var best = (Parts: 0.0, Stock: 0.0);
        Choose(0, new int[lines.Count], 0);
        return best;

        void Choose(int piece, int[] made, double used)
        {
            if (piece == stock.Count)
            {
                var parts = lines.Select((l, i) => Math.Min(made[i], l.Count) * l.LengthMm * l.WidthMm * l.ThicknessMm).Sum();
                if (parts > best.Parts + Tiny || (parts > best.Parts - Tiny && used < best.Stock - Tiny))
                    best = (parts, used);
                return;
            }

            foreach (var make in perPiece[piece])
                Choose(piece + 1, [.. made.Zip(make, (a, b) => a + b)], used + (make.Any(m => m > 0) ? CutPlanner.VolumeMm3(stock[piece].Piece) : 0));
        }
    }

    /// <summary>Every number of parts that one piece can give.</summary>
    private static List<int[]> Makes(CutStock stock, IReadOnlyList<CutListLine> lines)
    {
        var makes = new Dictionary<string, int[]>();
        Next(TrimMm, new int[lines.Count]);
        return [.. makes.Values];

        void Next(double at, int[] made)
        {
            makes.TryAdd(string.Join(",", made), [.. made]);
            for (var l = 0; l < lines.Count; l++)
            {
                var line = lines[l];
                var side = (int)((152.4 + KerfMm + Tiny) / (line.WidthMm + KerfMm)) * (int)((50.8 + KerfMm + Tiny) / (line.ThicknessMm + KerfMm));
                var starts = stock.ClearLengths.Where(c => c.RuleBook == line.RuleBook)
                    .Select(c => (Start: Math.Max(at, c.FromMm), End: Math.Min(c.ToMm, EightFt - TrimMm)))
                    .Where(s => s.Start + line.LengthMm <= s.End + Tiny).ToList();
                if (side == 0 || starts.Count == 0 || made[l] >= line.Count)
                    continue;
                made[l] += side;
                Next(starts.Min(s => s.Start) + line.LengthMm + KerfMm, made);
                made[l] -= side;
            }
        }
    }
}
