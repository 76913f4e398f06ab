using GrainVision.Grading.Deliveries;
using GrainVision.Grading.Pieces;
using GrainVision.Grading.Quantities;

namespace GrainVision.Cutting;

/// <summary>
/// Which parts of a cut list come out of which pieces: the greatest volume of parts, then the least stock for it. Volume, not number: a spar counts
/// for more than a cap strip, and strips come out of what spars leave.
/// </summary>
/// <remarks>
/// <para>
/// A part lies along the grain, wholly inside one clear length of its own use, with its width in the piece's width and its thickness in the
/// piece's. Across the section lie as many of one part as fit with a kerf between each two, resawn in leaves where the thickness gives several; two
/// different parts never lie beside each other in one cross-cut length. Nominal sizes of rough stock: leave room for planing in the cut list.
/// </para>
/// <para>
/// Method: integer packing with a constraint solver (CP-SAT of OR-Tools, L. Perron and F. Didier), one worker, fixed seed, a limit in the solver's own
/// count of work instead of time on the clock, so that the same delivery gives the same plan everywhere.
/// </para>
/// </remarks>
public static class CutPlanner
{
    /// <summary>3 mm: kerf of a circular saw (common practice, no source).</summary>
    public const double UsualKerfMm = 3;

    /// <summary>25 mm: an inch off each end for end checks and dirt (common practice, no source).</summary>
    public const double UsualEndTrimMm = 25;

    /// <summary>2: work for each of the two questions, in the solver's own seconds; 40 pieces and 20 parts then take some seconds on one core.</summary>
    private const double DeterministicSeconds = 2;

    /// <summary>The plan. Empty, with everything missing, where nothing fits or no piece is sound for the uses.</summary>
    /// <param name="delivery">Whose cut list is to be covered.</param>
    /// <param name="stock">Its pieces with their clear lengths.</param>
    /// <param name="kerfMm">Width of a saw cut, mm, 0 and up.</param>
    /// <param name="endTrimMm">Cut off each end of a piece and in no part, mm, 0 and up; its kerf included.</param>
    /// <param name="deterministicSeconds">Work allowed for each of two questions (how much, from how little), in the solver's own seconds.</param>
    /// <exception cref="ArgumentOutOfRangeException">A kerf, trim or time that makes no sense.</exception>
    /// <exception cref="ArgumentException">Two lines of the cut list have one name.</exception>
    public static CutPlan Plan(
        Delivery delivery, IReadOnlyList<CutStock> stock, double kerfMm = UsualKerfMm, double endTrimMm = UsualEndTrimMm, double deterministicSeconds = DeterministicSeconds)
    {
        ArgumentNullException.ThrowIfNull(delivery);
        ArgumentNullException.ThrowIfNull(stock);
        Check(kerfMm);
        Check(endTrimMm);
        Check(deterministicSeconds);
        if (delivery.CutList.Select(l => l.Name).Distinct(StringComparer.Ordinal).Count() != delivery.CutList.Count)
            throw new ArgumentException("Two lines of the cut list have one name.", nameof(delivery));
        var lines = delivery.CutList;
        var kerf = Zone.Up(kerfMm);
        // By number: the order in which pieces are handed in changes nothing.
        List<CutStock> byNumber = [.. stock.OrderBy(s => s.Piece.Number)];
        List<Zone> zones = [.. byNumber.SelectMany((s, i) => Zone.Compute(i, s, lines, kerf, kerfMm, endTrimMm))];
        if (zones.Count == 0)
            return Written(lines, byNumber, [], isProvenBest: true);
        var solution = new CutModel(byNumber, lines, zones, kerf).Solve(deterministicSeconds);
        return solution is null
            ? Written(lines, byNumber, [], isProvenBest: false)
            : Written(lines, byNumber, Cuts(lines, byNumber, solution, kerf), solution.IsProvenBest);
    }

    internal static double VolumeMm3(Piece piece) =>
        Section.From(piece) is var section ? section.WidthMm * section.ThicknessMm * piece.LengthFt * Units.MmPerFoot : 0;

    /// <summary>Blocks in their places, the longest first; what the list no longer asks for stays uncut.</summary>
    private static List<PlannedCut> Cuts(IReadOnlyList<CutListLine> lines, List<CutStock> stock, CutSolution solution, long kerf)
    {
        var left = lines.Select(l => l.Count).ToArray();
        var cuts = new List<PlannedCut>();
        foreach (var filled in solution.Zones)
        {
            var at = filled.Start;
            foreach (var (line, side, blocks) in filled.Blocks.OrderByDescending(b => lines[b.Line].LengthMm).ThenBy(b => b.Line))
            {
                for (var i = 0; i < blocks && left[line] > 0; i++)
                {
                    var count = Math.Min(side, left[line]);
                    left[line] -= count;
                    var fromMm = (double)at / Zone.StepsPerMm;
                    cuts.Add(new PlannedCut(stock[filled.Zone.Stock].Piece.Number, lines[line].Name, fromMm, fromMm + lines[line].LengthMm, count));
                    at += Zone.Up(lines[line].LengthMm) + kerf;
                }
            }
        }

        return [.. cuts.OrderBy(c => c.PieceNumber).ThenBy(c => c.FromMm)];
    }

    private static CutPlan Written(IReadOnlyList<CutListLine> lines, List<CutStock> stock, List<PlannedCut> cuts, bool isProvenBest)
    {
        var missing = new Dictionary<string, int>(StringComparer.Ordinal);
        foreach (var line in lines)
        {
            var open = line.Count - cuts.Where(c => c.Part == line.Name).Sum(c => c.CountSideBySide);
            if (open > 0)
                missing[line.Name] = open;
        }

        var sizes = lines.ToDictionary(l => l.Name, StringComparer.Ordinal);
        var used = cuts.Select(c => c.PieceNumber).Distinct().Sum(n => VolumeMm3(stock.First(s => s.Piece.Number == n).Piece));
        var parts = cuts.Sum(c => sizes[c.Part] is var l ? c.CountSideBySide * l.LengthMm * l.WidthMm * l.ThicknessMm : 0);
        return new CutPlan(cuts, missing, used > 0 ? 1 - (parts / used) : 0, isProvenBest);
    }

    private static void Check(double value, [System.Runtime.CompilerServices.CallerArgumentExpression(nameof(value))] string? name = null)
    {
        if (!double.IsFinite(value) || value < 0)
            throw new ArgumentOutOfRangeException(name, value, "A finite number of 0 or more.");
    }
}
