using GrainVision.Measuring.Numerics;

namespace GrainVision.Measuring.Slope;

/// <summary>Slope of the fibre streaks of a face.</summary>
/// <param name="Grid">Windows, leak of the ring figure already taken out.</param>
/// <param name="Field">The plane through them.</param>
/// <param name="Leak">Share of the streaks' likeness that ring figure accounts for, 0 to 1.</param>
/// <param name="LeakShift">By how much the leak was taken to have turned the slope, tangent, at most over the windows' middle half.</param>
/// <param name="Persistence">Correlation 25 mm apart along the streaks over likeness nearby: near 1 for scratches that run on.</param>
/// <param name="FromRings">Median distance of the streaks' slope, as read, from the ring lines', tangent; 1 where no ring lines show.</param>
/// <param name="AsShown">Windows as they show: against the frame, leak included.</param>
/// <param name="Known">Share of the face between ring edges, 0 to 1.</param>
internal sealed record FibreStreaks(SlopeGrid Grid, SlopeField Field, double Leak, double LeakShift, double Persistence, double FromRings, SlopeGrid AsShown, double Known)
{
    /// <summary>3: photo pixels per mm below which streaks of 0.2 to 0.5 mm are not resolved.</summary>
    public const double LeastPixelsPerMm = 3;

    /// <summary>Median over the windows of how alike strips are along the streaks, up to 1.</summary>
    public double Correlation => RobustStatistics.Median(Grid.Windows.Select(w => w.Correlation));

    /// <summary>25 mm: streaks have ended there, or run beside the ring lines by a fibre's width and more; ring lines run on.</summary>
    private const double LongMm = 25;

    /// <summary>0.1: likeness that chance leaves far apart; what is under it is no leak.</summary>
    private const double ChanceLeak = 0.1;

    /// <summary>
    /// 0.03: ring lines that cross the streaks at more than about this tangent part from them within the distances compared, and no longer
    /// turn the slope that is read.
    /// </summary>
    private const double PullsWithin = 0.03;

    /// <summary>Reads the streaks between the ring edges.</summary>
    /// <param name="strips">The face, finest rows.</param>
    /// <param name="rings">Slopes of its ring lines, as they show.</param>
    /// <param name="axis">Direction of the piece.</param>
    /// <returns>Null where too few windows show streaks.</returns>
    public static FibreStreaks? Measure(FaceStrips strips, SlopeGrid rings, LocalAxis axis)
    {
        if (strips.RowsPerMm < LeastPixelsPerMm)
            return null;
        using var edges = RingEdges.Find(strips);
        var figure = FaceFigure.From(strips, FigureBand.FibreStreaks, edges);
        var plan = GridPlan.FibreStreaks;
        var grid = SlopeGrid.Measure(figure, plan);
        if (grid.Windows.Count < 3)
            return null;

        var (leak, persistence) = LongRange(figure, grid, rings, plan);
        // (1 - leak) fibres + leak rings = what was read.
        var share = Math.Clamp(leak - ChanceLeak, 0, 0.5) / (1 - Math.Clamp(leak - ChanceLeak, 0, 0.5));
        var shifts = grid.Windows.Select(w => rings.Windows.Count == 0 ? 0 : Pull(w.Slope - rings.SlopeAt(w.CentreMm), share)).ToList();
        var fromRings = rings.Windows.Count == 0 ? 1 : RobustStatistics.Median(grid.Windows.Select(w => Math.Abs(w.Slope - rings.SlopeAt(w.CentreMm))));
        var corrected = axis.Straighten(grid with { Windows = [.. grid.Windows.Select((w, i) => w with { Slope = w.Slope + shifts[i] })] });
        return SlopeField.Fit(corrected.Windows) is { } field
            ? new FibreStreaks(corrected, field, leak, RobustStatistics.Quantile(shifts.Select(Math.Abs), 0.75), persistence, fromRings, grid, figure.Known)
            : null;
    }

    private static double Pull(double off, double share) => share * off * Math.Exp(-0.5 * off * off / (PullsWithin * PullsWithin));

    /// <summary>How alike strips far apart are along the ring lines, and along the streaks, over how alike neighbours are.</summary>
    private static (double Leak, double Persistence) LongRange(FaceFigure figure, SlopeGrid grid, SlopeGrid rings, GridPlan plan)
    {
        var search = new ShearCorrelation(figure, plan.Lags);
        var lag = (int)Math.Min(LongMm * figure.AlongPerMm, 0.6 * figure.Columns);
        var leaks = new List<double>();
        var persists = new List<double>();
        foreach (var w in grid.Windows)
        {
            var window = SlopeGrid.At(figure, w.CentreMm, 2 * plan.WindowMm);
            if (rings.Windows.Count > 0 && search.CorrelationAt(window, lag, rings.SlopeAt(w.CentreMm)) is { } alongRings)
                leaks.Add(Math.Clamp(alongRings / w.Correlation, 0, 1));
            if (search.CorrelationAt(window, lag, w.Slope) is { } alongStreaks)
                persists.Add(Math.Clamp(alongStreaks / w.Correlation, 0, 1));
        }

        return (RobustStatistics.Median(leaks), RobustStatistics.Median(persists));
    }
}
