using GrainVision.Grading.Deliveries;
using GrainVision.Grading.Pieces;
using GrainVision.Grading.Quantities;

namespace GrainVision.Cutting;

/// <summary>
/// A stretch of a piece that is sound for the same uses, in steps of 0.1 mm from end A: in it blocks of those uses lie one behind the other,
/// in any order. Its ends are rounded inwards, so that no part ever reaches past them.
/// </summary>
/// <param name="Stock">Index of the piece.</param>
/// <param name="From">Start.</param>
/// <param name="To">End.</param>
/// <param name="Lines">Indices of the cut-list lines that are sound here and fit, with how many of each lie in one cross-section.</param>
internal sealed record Zone(int Stock, long From, long To, IReadOnlyList<(int Line, int Side)> Lines)
{
    /// <summary>10 steps a mm: a tenth of a mm is finer than any saw.</summary>
    internal const int StepsPerMm = 10;

    /// <summary>1e-6 steps: room for the rounding of inches to mm.</summary>
    private const double Rounding = 1e-6;

    internal static long Up(double mm) => (long)Math.Ceiling((mm * StepsPerMm) - Rounding);

    internal static long Down(double mm) => (long)Math.Floor((mm * StepsPerMm) + Rounding);

    /// <summary>Most blocks of a length that fit one behind the other.</summary>
    internal long Most(long length, long kerf) => (To - From + kerf) / (length + kerf);

    /// <summary>True where two zones of one piece cannot both be filled to their ends.</summary>
    internal bool Meets(Zone other, long kerf) => Stock == other.Stock && From < other.To + kerf && other.From < To + kerf;

    /// <summary>
    /// Zones of one piece. Where zones of different uses overlap, one is given as many times as others overlap it, plus one: blocks of
    /// the first use may have to lie on both sides of a block of another.
    /// </summary>
    internal static IEnumerable<Zone> Compute(int stock, CutStock from, IReadOnlyList<CutListLine> lines, long kerf, double kerfMm, double endTrimMm)
    {
        var (section, lengthMm) = (Section.From(from.Piece), from.Piece.LengthFt * Units.MmPerFoot);
        var zones = from.ClearLengths
            .Select(c => (c.RuleBook, From: Up(Math.Max(c.FromMm, endTrimMm)), To: Down(Math.Min(c.ToMm, lengthMm - endTrimMm))))
            .Where(c => c.To > c.From)
            .GroupBy(c => (c.From, c.To))
            .OrderBy(g => g.Key)
            .Select(g => new Zone(stock, g.Key.From, g.Key.To, [.. Fitting([.. g.Select(c => c.RuleBook)], g.Key.To - g.Key.From)]))
            .Where(z => z.Lines.Count > 0)
            .ToList();
        return zones.SelectMany(z => Enumerable.Repeat(z, zones.Count(o => z.Meets(o, kerf))).Select(same => same with { }));

        IEnumerable<(int Line, int Side)> Fitting(HashSet<string> books, long room)
        {
            for (var i = 0; i < lines.Count; i++)
            {
                if (books.Contains(lines[i].RuleBook) && lines[i].Count > 0 && lines[i].LengthMm > 0 && Up(lines[i].LengthMm) <= room && section.CountOf(lines[i], kerfMm) is > 0 and var side)
                    yield return (i, side);
            }
        }
    }
}
