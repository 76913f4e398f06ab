using GrainVision.Measuring.Imaging;
using OpenCvSharp;

namespace GrainVision.Measuring.Slope;

/// <summary>Slopes of a face window by window.</summary>
/// <param name="Windows">Windows in which lines stand out.</param>
/// <param name="Tried">Windows that held enough wood.</param>
/// <param name="WindowLengthMm">Length of a window along the piece.</param>
internal sealed record SlopeGrid(IReadOnlyList<SlopeWindow> Windows, int Tried, double WindowLengthMm)
{
    /// <summary>1.6: lines must raise the profile's variance by this factor over a typical wrong slope, else the window shows nothing.</summary>
    private const double LeastContrast = 1.6;

    /// <summary>Share of the windows that show lines, 0 to 1.</summary>
    public double Shown => Tried == 0 ? 0 : (double)Windows.Count / Tried;

    public static SlopeGrid Measure(FaceFigure figure)
    {
        var lengthMm = figure.Width / figure.AlongPerMm;
        var widthMm = figure.Height / figure.AcrossPerMm;
        // Long enough to show the general slope, short enough to see it change: a fifth of what shows, 25 to 80 mm.
        var windowMm = Math.Min(lengthMm, Math.Clamp(lengthMm / 5, 25, 80));
        var lanes = Math.Clamp((int)(widthMm / 15), 2, 8);
        var stations = Math.Max(1, (int)Math.Round(((lengthMm - windowMm) / (windowMm / 2)) + 1));
        var windowColumns = Math.Max(4, (int)(windowMm * figure.AlongPerMm));
        var windows = new List<SlopeWindow>();
        var tried = 0;
        for (var s = 0; s < stations; s++)
        {
            var from = stations == 1 ? 0 : (int)((figure.Width - windowColumns) * (double)s / (stations - 1));
            for (var lane = 0; lane < lanes; lane++)
            {
                var (top, bottom) = (lane * figure.Height / lanes, (lane + 1) * figure.Height / lanes);
                if (ShearProjection.Find(figure, from, Math.Min(figure.Width, from + windowColumns), top, bottom) is not { } found)
                    continue;
                tried++;
                if (found.Contrast < LeastContrast)
                    continue;
                var centre = new Point2d(
                    figure.OriginMm.X + ((from + (windowColumns / 2.0)) / figure.AlongPerMm), figure.OriginMm.Y + ((top + bottom) / 2.0 / figure.AcrossPerMm));
                windows.Add(new SlopeWindow(centre, found.Slope, found.Contrast, lane, s));
            }
        }

        return new SlopeGrid(windows, tried, windowMm);
    }

    /// <summary>Median slope of all windows, weighted by how clearly they show it.</summary>
    public double Overall() => WeightedMedian(Windows);

    /// <summary>Robust spread of the windows about their median, tangent.</summary>
    public double Spread()
    {
        var middle = Overall();
        return 1.4826 * Profile.Quantile(Windows.Select(w => Math.Abs(w.Slope - middle)), 0.5);
    }

    /// <summary>Range of the lanes' median slopes, tangent, over lanes that show lines at two stations or more.</summary>
    public double Fan()
    {
        var perLane = Windows.GroupBy(w => w.Lane).Where(l => l.Count() >= 2).Select(l => Profile.Quantile(l.Select(w => w.Slope), 0.5)).Order().ToArray();
        return perLane.Length < 2 ? 0 : perLane[^1] - perLane[0];
    }

    /// <summary>Weighted median slope at each station that shows lines in at least half of its lanes.</summary>
    public IEnumerable<(int Station, double Slope, Point2d CentreMm, int Lanes)> Stations() =>
        from w in Windows
        group w by w.Station into station
        let all = station.ToList()
        where all.Count >= Math.Max(1, Windows.Max(x => x.Lane + 1) / 2)
        select (station.Key, WeightedMedian(all), new Point2d(all.Average(w => w.CentreMm.X), all.Average(w => w.CentreMm.Y)), all.Count);

    public static double WeightedMedian(IReadOnlyList<SlopeWindow> windows)
    {
        var sorted = windows.OrderBy(w => w.Slope).ToArray();
        var half = sorted.Sum(Weight) / 2;
        var sum = 0.0;
        foreach (var w in sorted)
        {
            sum += Weight(w);
            if (sum >= half)
                return w.Slope;
        }

        return 0;
    }

    private static double Weight(SlopeWindow w) => Math.Min(w.Contrast, 6) - 1;
}
