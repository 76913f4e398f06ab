using Google.OrTools.Sat;
using GrainVision.Grading.Deliveries;
using GrainVision.Grading.Pieces;

namespace GrainVision.Cutting;

/// <summary>
/// The cut list and the sound zones of the stock as a constraint model: how many blocks of each part lie in each zone. A block is a cross-cut
/// length of one part, as many of it side by side as the section gives.
/// </summary>
/// <remarks>
/// Inside a zone the order of blocks does not matter, so their places are no unknowns; only zones that overlap (uses whose clear lengths differ)
/// get a start each. That keeps the model to a few thousand small numbers for 40 pieces and 20 parts.
/// </remarks>
internal sealed class CutModel
{
    private readonly CpModel _model = new();
    private readonly List<IntVar> _all = [];
    private readonly IReadOnlyList<Zone> _zones;
    private readonly Dictionary<(int Zone, int Line), IntVar> _blocks = [];
    private readonly LinearExpr?[] _starts;
    private readonly LinearExpr _covered;
    private readonly LinearExpr _used;

    internal CutModel(IReadOnlyList<CutStock> stock, IReadOnlyList<CutListLine> lines, IReadOnlyList<Zone> zones, long kerf)
    {
        _zones = zones;
        _starts = new LinearExpr?[zones.Count];
        var isUsed = stock.Select((s, i) => Keep(_model.NewBoolVar($"used {i}"))).ToList();
        for (var z = 0; z < zones.Count; z++)
            Fill(z, lines, kerf, (BoolVar)isUsed[zones[z].Stock]);
        for (var s = 0; s < stock.Count; s++)
            Apart(s, kerf);
        _covered = LinearExpr.Sum(lines.Select((line, l) => Covered(line, l) * Volume(line)));
        _used = LinearExpr.Sum(stock.Select((s, i) => isUsed[i] * Volume(s.Piece)));
    }

    /// <summary>Volume of parts as a whole number of cm3, at least 1.</summary>
    internal static long Volume(CutListLine part) => Math.Max(1, (long)Math.Round(part.LengthMm * part.WidthMm * part.ThicknessMm / 1000));

    private static long Volume(Piece piece) => Math.Max(1, (long)Math.Round(CutPlanner.VolumeMm3(piece) / 1000));

    /// <summary>
    /// First the greatest volume of parts, then of all plans that give it the one that takes the least stock: what is left of a started piece is
    /// waste. Null where no plan was found in the time.
    /// </summary>
    /// <param name="deterministicSeconds">Work allowed for each of the two, in the solver's own count: the same on every machine.</param>
    internal CutSolution? Solve(double deterministicSeconds)
    {
        _model.Maximize(_covered);
        var (most, isMost) = Run(deterministicSeconds);
        if (most is null)
            return null;
        _model.Add(_covered >= (long)Math.Round(most.ObjectiveValue));
        foreach (var v in _all)
            _model.AddHint(v, most.Value(v));
        _model.Minimize(_used);
        var (least, isLeast) = Run(deterministicSeconds);
        return Read(least ?? most, isMost && isLeast);
    }

    private (CpSolver? Solver, bool IsProven) Run(double deterministicSeconds)
    {
        // One worker, a fixed seed and the solver's own clock: the same model gives the same plan, on a slow machine as on a fast one.
        var solver = new CpSolver
        {
            StringParameters = FormattableString.Invariant($"num_workers:1,random_seed:1,max_deterministic_time:{deterministicSeconds},linearization_level:2"),
        };
        return solver.Solve(_model) switch
        {
            CpSolverStatus.Optimal => (solver, true),
            CpSolverStatus.Feasible => (solver, false),
            _ => (null, false),
        };
    }

    private CutSolution Read(CpSolver solver, bool isProvenBest) => new(
        [.. _zones.Select((zone, z) => new FilledZone(
            zone,
            _starts[z] is { } start ? solver.Value(start) : zone.From,
            [.. zone.Lines.Select(l => (l.Line, l.Side, solver.Value(_blocks[(z, l.Line)]))).Where(b => b.Item3 > 0)]))],
        isProvenBest);

    /// <summary>Blocks of a zone behind one another with a kerf between each two.</summary>
    private void Fill(int z, IReadOnlyList<CutListLine> lines, long kerf, BoolVar isUsed)
    {
        var zone = _zones[z];
        foreach (var (line, side) in zone.Lines)
        {
            var most = Math.Min(zone.Most(Zone.Up(lines[line].LengthMm), kerf), (lines[line].Count + side - 1L) / side);
            _blocks[(z, line)] = Keep(_model.NewIntVar(0, most, $"blocks {z} {line}"));
            _model.Add(_blocks[(z, line)] <= isUsed * most);
        }

        _model.Add(Taken(z, lines, kerf) <= isUsed * (zone.To - zone.From + kerf));
        if (!_zones.Where((o, i) => i != z && o.Meets(zone, kerf)).Any())
            return;
        var (start, size, end) = (
            Keep(_model.NewIntVar(zone.From, zone.To, $"start {z}")),
            Keep(_model.NewIntVar(0, zone.To - zone.From + kerf, $"size {z}")),
            Keep(_model.NewIntVar(zone.From, zone.To + kerf, $"end {z}")));
        var isFilled = (BoolVar)Keep(_model.NewBoolVar($"filled {z}"));
        _model.Add(size == Taken(z, lines, kerf));
        _model.Add(size <= isFilled * (zone.To - zone.From + kerf));
        _starts[z] = start;
        _intervals[z] = _model.NewOptionalIntervalVar(start, size, end, isFilled, $"zone {z}");
    }

    private readonly Dictionary<int, IntervalVar> _intervals = [];

    private void Apart(int stock, long kerf)
    {
        var on = _intervals.Where(i => _zones[i.Key].Stock == stock).Select(i => i.Value).ToList();
        if (on.Count > 1)
            _model.AddNoOverlap(on);
    }

    private LinearExpr Taken(int z, IReadOnlyList<CutListLine> lines, long kerf) =>
        LinearExpr.Sum(_zones[z].Lines.Select(l => _blocks[(z, l.Line)] * (Zone.Up(lines[l.Line].LengthMm) + kerf)));

    private IntVar Covered(CutListLine line, int l)
    {
        var covered = Keep(_model.NewIntVar(0, Math.Max(0, line.Count), $"covered {l}"));
        var made = _zones.SelectMany((zone, z) => zone.Lines.Where(x => x.Line == l).Select(x => _blocks[(z, l)] * x.Side)).ToList();
        _model.Add(covered <= LinearExpr.Sum(made));
        return covered;
    }

    private IntVar Keep(IntVar variable)
    {
        _all.Add(variable);
        return variable;
    }
}

/// <summary>What the solver found.</summary>
/// <param name="Zones">Filled or not.</param>
/// <param name="IsProvenBest">True where it proved that no plan covers more, and that none that covers as much takes less stock.</param>
internal sealed record CutSolution(IReadOnlyList<FilledZone> Zones, bool IsProvenBest);

/// <summary>Blocks of a zone, which lie behind one another from <paramref name="Start"/> on.</summary>
internal sealed record FilledZone(Zone Zone, long Start, IReadOnlyList<(int Line, int Side, long Blocks)> Blocks);
