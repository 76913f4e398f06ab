using GrainVision.Measuring.Numerics;

namespace GrainVision.Measuring.Slope;

/// <summary>What a face's ring lines say of how it was cut.</summary>
/// <param name="EdgeGrain">True only where everything speaks for a near-radial face.</param>
/// <param name="Why">One clause for the record: why it is, or is not, taken for edge grain.</param>
internal sealed record FaceKind(bool EdgeGrain, string Why)
{
    /// <summary>
    /// 8.5 mm: on a radial face lines stand one ring width apart (6.35 mm at 4 rings/in); a face 45° off radial shows them 1.41 times
    /// as far apart; wider spacing is a face nearer to tangential, or wood no book would pass.
    /// </summary>
    private const double WidestSpacingMm = 8.5;

    /// <summary>
    /// 12: fewer lines than this across a face do not tell a radial face from a slanting cut. On drawn faces 5 to 11 straight lines were
    /// flat grain in every third case, 12 and more in one of twelve.
    /// </summary>
    private const int FewestLines = 12;

    /// <summary>5: enough where the caller states the ring angle, from the end.</summary>
    private const int FewestLinesWithAngle = 5;

    /// <summary>60 degrees: stated ring angle to this face from which its ring lines are taken for fibre direction.</summary>
    private const double RadialFromDeg = 60;

    /// <summary>
    /// 2.5: ratio of the median spacing between thirds of the face. Ring widths drift by less than that across a plank; on a
    /// flat-grain face the spacing grows without bound towards the line nearest the pith.
    /// </summary>
    private const double WidestTrend = 2.5;

    /// <summary>0.02 (1.1°): lanes of an edge-grain face agree on the slope; the lines of flatter cuts fan out.</summary>
    private const double WidestFan = 0.02;

    /// <summary>0.5: share of windows that must show lines.</summary>
    private const double LeastShown = 0.5;

    /// <summary>8 mm: window over which slow changes of light are taken out, a little more than the widest ring that any rule lets pass (4.2 mm at 6 rings/in).</summary>
    private const double NormaliseMm = 8;

    /// <param name="figure">Ring-line figure of the face.</param>
    /// <param name="grid">Its slopes, as they show.</param>
    /// <param name="straight">The same against the piece's axis.</param>
    /// <param name="ringAngleDeg">Ring angle to this face as the caller read it off the end; null where unknown.</param>
    public static FaceKind From(FaceFigure figure, SlopeGrid grid, SlopeGrid straight, double? ringAngleDeg)
    {
        if (ringAngleDeg < RadialFromDeg)
            return new FaceKind(false, $"its rings stand at {ringAngleDeg:0}° to it, by the angle that was stated");
        if (grid.Shown < LeastShown || grid.Windows.Count < 3)
            return new FaceKind(false, "ring lines show on too little of the face");
        var fan = straight.Fan();
        if (fan > WidestFan)
            return new FaceKind(false, $"the ring lines fan out by {Math.Atan(fan) * 180 / Math.PI:0.#}° (cathedral figure)");

        var profile = AcrossProfile(figure, grid);
        var lines = LineSpacing.Find(profile, figure.AcrossPerMm);
        if (lines.Length < FewestLinesWithAngle)
            return new FaceKind(false, "fewer than five ring lines cross the face");
        if (lines.Length < (ringAngleDeg is null ? FewestLines : FewestLinesWithAngle))
            return new FaceKind(false, $"only {lines.Length} ring lines cross the face, too few to tell a radial face without the ring angle");
        var spacing = lines.Zip(lines.Skip(1), (a, b) => (b - a) / figure.AcrossPerMm).ToArray();
        var mean = spacing.Average();
        if (mean > WidestSpacingMm)
            return new FaceKind(false, $"the ring lines stand {mean:0.#} mm apart, too wide for a radial face");
        var third = Math.Max(1, spacing.Length / 3);
        double[] thirds = [RobustStatistics.Median(spacing[..third]), RobustStatistics.Median(spacing[third..^third]), RobustStatistics.Median(spacing[^third..])];
        if (spacing.Length >= 6 && thirds.Max() > WidestTrend * thirds.Min())
            return new FaceKind(false, "the ring lines' spacing widens across the face as on flat grain");
        return new FaceKind(true, "straight, parallel, evenly spaced ring lines");
    }

    /// <summary>Mean figure along the overall slope over the middle stretch of the face (at most 80 mm), one value a row.</summary>
    private static double[] AcrossProfile(FaceFigure figure, SlopeGrid grid)
    {
        var slope = grid.Median();
        var columns = Math.Min(figure.Columns, (int)(80 * figure.AlongPerMm));
        var from = (figure.Columns - columns) / 2;
        var middle = from + (columns / 2.0);
        var sum = new double[figure.Rows];
        var count = new double[figure.Rows];
        for (var x = from; x < from + columns; x++)
        {
            var shift = slope * (x - middle) / figure.AlongPerMm * figure.AcrossPerMm;
            for (var r = 0; r < figure.Rows; r++)
            {
                var y = (int)Math.Round(r + shift);
                if (y < 0 || y >= figure.Rows || figure.Values[(x * figure.Rows) + y] == 0)
                    continue;
                sum[r] += figure.Values[(x * figure.Rows) + y];
                count[r]++;
            }
        }

        var first = Array.FindIndex(count, c => c > columns / 3.0);
        var last = Array.FindLastIndex(count, c => c > columns / 3.0);
        if (first < 0 || last - first < 8)
            return new double[8];
        var profile = new double[last - first + 1];
        for (var r = first; r <= last; r++)
            profile[r - first] = count[r] > 0 ? 20 * sum[r] / count[r] : 0;
        return Profile.Normalise(profile, NormaliseMm * figure.AcrossPerMm);
    }
}
