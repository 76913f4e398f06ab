using GrainVision.Measuring.Numerics;
using OpenCvSharp;

namespace GrainVision.Measuring.Slope;

/// <summary>Slope of the lines in one window of a face.</summary>
/// <param name="CentreMm">Middle of the window.</param>
/// <param name="Slope">Tangent, positive from side 1-2 towards side 3-4 along +u.</param>
/// <param name="Correlation">How alike strips are along it, up to 1.</param>
/// <param name="Lane">Place across the face, 0 at side 1-2.</param>
/// <param name="Station">Place along the face.</param>
internal readonly record struct SlopeWindow(Point2d CentreMm, double Slope, double Correlation, int Lane, int Station);

/// <summary>How a face is cut into windows, and what is looked for in them.</summary>
/// <param name="WindowMm">Length of a window along the piece.</param>
/// <param name="StepShare">Distance from one window to the next as a share of that length.</param>
/// <param name="Lags">Distances between compared strips, columns of 0.8 mm, ascending.</param>
/// <param name="LeastCorrelation">Windows in which strips are less alike than this show nothing.</param>
/// <param name="LeastContrast">The same for how far the best slope stands out, robust deviations.</param>
internal sealed record GridPlan(double WindowMm, double StepShare, int[] Lags, double LeastCorrelation, double LeastContrast)
{
    /// <summary>
    /// Ring lines run on: 2.4 to 19 mm between strips, in windows of a quarter of what shows, 20 to 75 mm, so that a change of slope
    /// along the piece is seen. Strips a third alike or more: rings reach 0.9.
    /// </summary>
    public static GridPlan RingLines(double lengthMm) => new(Math.Clamp(lengthMm / 4, 20, 75), 0.5, [3, 6, 10, 16, 24], 0.33, 0);

    /// <summary>Streaks are short, 4 to 15 mm where fibres dive by a degree or two: 1.6 to 7 mm between strips.</summary>
    public static GridPlan FibreStreaks => new(30, 1, [2, 4, 6, 9], 0.04, 3);
}

/// <summary>Slopes of a face window by window.</summary>
/// <param name="Windows">Windows in which lines stand out.</param>
/// <param name="Tried">Windows that held enough wood.</param>
/// <param name="WindowLengthMm">Length of a window along the piece.</param>
/// <param name="Lanes">Windows across the face.</param>
internal sealed record SlopeGrid(IReadOnlyList<SlopeWindow> Windows, int Tried, double WindowLengthMm, int Lanes)
{
    /// <summary>15 mm: least width of a lane: two or three rings of the widest kind.</summary>
    private const double LaneMm = 15;

    /// <summary>Share of the windows that show lines, 0 to 1.</summary>
    public double Shown => Tried == 0 ? 0 : (double)Windows.Count / Tried;

    public static SlopeGrid Measure(FaceFigure figure, GridPlan plan)
    {
        var search = new ShearCorrelation(figure, plan.Lags);
        var windows = new List<SlopeWindow>();
        var tried = 0;
        foreach (var (window, lane, station) in Cut(figure, plan))
        {
            if (search.Find(window) is not { } found)
                continue;
            tried++;
            if (found.Correlation >= plan.LeastCorrelation && found.Contrast >= plan.LeastContrast)
                windows.Add(new SlopeWindow(Centre(figure, window), found.Slope, found.Correlation, lane, station));
        }

        return new SlopeGrid(windows, tried, plan.WindowMm, LanesOf(figure));
    }

    /// <summary>Columns and rows of the window round a place.</summary>
    public static FigureWindow At(FaceFigure figure, Point2d centreMm, double lengthMm)
    {
        var (u, v) = ((centreMm.X - figure.OriginMm.X) * figure.AlongPerMm, (centreMm.Y - figure.OriginMm.Y) * figure.AcrossPerMm);
        var (halfColumns, halfRows) = (lengthMm * figure.AlongPerMm / 2, figure.Rows / LanesOf(figure) / 2.0);
        return new FigureWindow(
            Math.Max(0, (int)(u - halfColumns)), Math.Min(figure.Columns, (int)(u + halfColumns)), Math.Max(0, (int)(v - halfRows)), Math.Min(figure.Rows, (int)(v + halfRows)));
    }

    /// <summary>Range of the lanes' median slopes, tangent, over lanes that show lines at two stations or more.</summary>
    public double Fan()
    {
        var perLane = Windows.GroupBy(w => w.Lane).Where(l => l.Count() >= 2).Select(l => RobustStatistics.Median(l.Select(w => w.Slope))).Order().ToArray();
        return perLane.Length < 2 ? 0 : perLane[^1] - perLane[0];
    }

    /// <summary>Median slope of all windows.</summary>
    public double Median() => RobustStatistics.Median(Windows.Select(w => w.Slope));

    /// <summary>Slope at a place: nearby windows weighted by distance over a window's length; 0 without windows.</summary>
    public double SlopeAt(Point2d at)
    {
        double sum = 0, weights = 0;
        foreach (var w in Windows)
        {
            var d = w.CentreMm.DistanceTo(at) / (0.5 * WindowLengthMm);
            var weight = Math.Exp(-d * d / 2) + 1e-9;
            sum += weight * w.Slope;
            weights += weight;
        }

        return weights > 0 ? sum / weights : 0;
    }

    private static int LanesOf(FaceFigure figure) => Math.Clamp((int)(figure.Rows / figure.AcrossPerMm / LaneMm), 2, 8);

    private static IEnumerable<(FigureWindow Window, int Lane, int Station)> Cut(FaceFigure figure, GridPlan plan)
    {
        var lengthMm = figure.Columns / figure.AlongPerMm;
        var columns = Math.Clamp((int)(plan.WindowMm * figure.AlongPerMm), Math.Min(4, figure.Columns), figure.Columns);
        var stations = Math.Max(1, (int)Math.Round(((lengthMm - plan.WindowMm) / (plan.WindowMm * plan.StepShare)) + 1));
        var lanes = LanesOf(figure);
        for (var s = 0; s < stations; s++)
        {
            var from = stations == 1 ? (figure.Columns - columns) / 2 : (int)((figure.Columns - columns) * (double)s / (stations - 1));
            for (var lane = 0; lane < lanes; lane++)
                yield return (new FigureWindow(from, from + columns, lane * figure.Rows / lanes, (lane + 1) * figure.Rows / lanes), lane, s);
        }
    }

    private static Point2d Centre(FaceFigure figure, FigureWindow w) => new(
        figure.OriginMm.X + ((w.FromColumn + w.ToColumn) / 2.0 / figure.AlongPerMm),
        figure.OriginMm.Y + ((w.FromRow + w.ToRow) / 2.0 / figure.AcrossPerMm));
}
