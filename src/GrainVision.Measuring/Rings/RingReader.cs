using GrainVision.Measuring.Numerics;
using OpenCvSharp;
using Range = System.Range;

namespace GrainVision.Measuring.Rings;

/// <summary>The rings of a strip.</summary>
/// <param name="Candidates">Every place that may be a boundary, ascending by column.</param>
/// <param name="Chosen">Those taken for boundaries.</param>
/// <param name="Unreadable">Of each column, the chance that it cannot be read, mean over the bands that have wood there.</param>
internal sealed record RingReading(IReadOnlyList<RingCandidate> Candidates, IReadOnlyList<RingCandidate> Chosen, double[] Unreadable);

/// <summary>
/// Reads the rings of a strip with the network on three parallel bands, so scaled that the median ring is as wide as the network knows best.
/// </summary>
internal static class RingReader
{
    /// <summary>7: log odds of a candidate on its own; widths cost up to 9.</summary>
    private const double MostLogOdds = 7;

    /// <summary>16 columns: ring width that the network reads best; a strip whose median ring is off by more than a factor of 1.5 is read again.</summary>
    private const double BestWidth = 16;
    private const double FarFrom = 1.5;

    /// <summary>2.5 columns as the network sees them: narrower rings were not taught.</summary>
    private const double LeastApart = 2.5;

    /// <summary>8 mm: window over which slow changes of light are taken out, a little more than the widest ring.</summary>
    private const double SlowMm = 8;

    /// <summary>0.5 to 2: coarser than half, what lies near the rim is lost; finer than twice, the photo holds no more.</summary>
    private const double LeastScale = 0.5;
    private const double MostScale = 2;

    /// <summary>0.6 of the middle's scale, 0.35 at least: the bands beside the path only say whether a ring goes on there; as good as in full on 77 ends, for two thirds of the time.</summary>
    private const double SideScale = 0.6;
    private const double LeastSideScale = 0.35;

    /// <summary>0.4: chance from which a boundary tells the ring width.</summary>
    private const double ClearChance = 0.4;

    /// <param name="coloursAt">The strip in so many columns for each of its own (1 or more): CV_8UC3, blue-green-red. Each is disposed here.</param>
    /// <param name="inside">CV_32FC1 in the strip's own columns: 1 on the wood.</param>
    /// <param name="centreRow">Row that lies on the path.</param>
    public static RingReading? Read(Func<double, Mat> coloursAt, Mat inside, int centreRow)
    {
        using var plain = coloursAt(1);
        var wood = Wood(inside);
        var rows = BandRows(plain.Height, centreRow);
        var scale = ScaleFor(GuessedWidth(plain, rows[0]));
        var scaled = At(scale, plain, coloursAt);
        try
        {
            var middle = RingBand.From(Read(scaled, rows[0]), scale, wood(rows[0]));
            var width = MedianWidth(middle);
            if (width is null)
                return null;
            if (width * scale is < BestWidth / FarFrom or > BestWidth * FarFrom && ScaleFor(width.Value) is var better && better != scale)
            {
                scale = better;
                scaled.Dispose();
                scaled = At(scale, plain, coloursAt);
                middle = RingBand.From(Read(scaled, rows[0]), scale, wood(rows[0]));
            }

            var sideScale = Math.Max(LeastSideScale, SideScale * scale);
            using var coarse = At(sideScale, plain, coloursAt);
            var sides = rows.Skip(1).Select(r => RingBand.From(Read(coarse, r), sideScale, wood(r))).ToList();
            var candidates = RingConnector.Connect(middle, sides);
            return Choose(candidates, LeastApart / scale, Unreadable([middle, .. sides]));
        }
        finally
        {
            scaled.Dispose();
        }
    }

    private static double ScaleFor(double widthColumns) => Math.Clamp(BestWidth / widthColumns, LeastScale, MostScale);

    private static Mat At(double scale, Mat plain, Func<double, Mat> coloursAt) => scale < 1 ? StripColours.Narrower(plain, scale) : coloursAt(scale);

    /// <summary>Median distance of the steps in the band's mean grey, columns: near enough to know how finely to read.</summary>
    private static double GuessedWidth(Mat plain, Range rows)
    {
        using var band = plain.RowRange(rows.Start.Value, rows.End.Value);
        using var grey = new Mat();
        Cv2.CvtColor(band, grey, ColorConversionCodes.BGR2GRAY);
        using var mean = new Mat();
        Cv2.Reduce(grey, mean, ReduceDimension.Row, ReduceTypes.Avg, MatType.CV_64F);
        mean.GetArray(out double[] profile);
        var lines = LineSpacing.Find(Profile.Normalise(profile, SlowMm * RingNetwork.ColumnsPerMm), RingNetwork.ColumnsPerMm);
        return lines.Length < 3 ? BestWidth : RobustStatistics.Median(lines.Zip(lines.Skip(1), (a, b) => b - a));
    }

    /// <summary>The likeliest sequence; each candidate's chance is then that given the others.</summary>
    private static RingReading Choose(List<RingCandidate> candidates, double leastApart, double[] unreadable)
    {
        double[] at = [.. candidates.Select(c => c.At)];
        double[] logOdds = [.. candidates.Select(c => Math.Clamp(Math.Log(c.Chance / (1 - c.Chance)), -MostLogOdds, MostLogOdds))];
        var chosen = RingSequence.Choose(at, logOdds, leastApart);
        var given = RingSequence.Given(at, logOdds, chosen);
        for (var i = 0; i < given.Length; i++)
            candidates[i] = candidates[i] with { Chance = 1 / (1 + Math.Exp(-given[i])) };
        return new RingReading(candidates, [.. chosen.Select(i => candidates[i])], unreadable);
    }

    private static ColumnReading Read(Mat colours, Range rows)
    {
        var (from, to) = (rows.Start.Value, rows.End.Value);
        using var band = colours.RowRange(from, to);
        if (to - from == RingNetwork.Rows)
            return RingNetwork.Read(band);
        // A thin section: its few rows are drawn out to the network's number.
        using var tall = new Mat();
        Cv2.Resize(band, tall, new Size(band.Width, RingNetwork.Rows), 0, 0, InterpolationFlags.Linear);
        return RingNetwork.Read(tall);
    }

    private static double? MedianWidth(RingBand band)
    {
        var at = band.Boundaries.Where(b => b.Chance > ClearChance).Select(b => b.At).ToArray();
        return at.Length < 3 ? null : RobustStatistics.Median(at.Zip(at.Skip(1), (a, b) => b - a));
    }

    /// <summary>The band on the path first, then as far to either side as the strip goes.</summary>
    private static List<Range> BandRows(int height, int centre)
    {
        var half = RingNetwork.Rows / 2;
        if (height <= RingNetwork.Rows)
            return [0..height];
        var middle = Math.Clamp(centre - half, 0, height - RingNetwork.Rows);
        List<Range> rows = [middle..(middle + RingNetwork.Rows)];
        if (height >= RingNetwork.Rows + half)
        {
            rows.Add(0..RingNetwork.Rows);
            rows.Add((height - RingNetwork.Rows)..height);
        }

        return rows;
    }

    /// <summary>Of each column, the share of some rows that is wood.</summary>
    private static Func<Range, double[]> Wood(Mat mask)
    {
        mask.GetArray(out float[] inside);
        var width = mask.Width;
        return rows =>
        {
            var (from, to) = (rows.Start.Value, rows.End.Value);
            var share = new double[width];
            for (var y = from; y < to; y++)
            {
                for (var x = 0; x < width; x++)
                    share[x] += inside[(y * width) + x] / (to - from);
            }

            return share;
        };
    }

    private static double[] Unreadable(List<RingBand> bands) => [.. Enumerable.Range(0, bands[0].Unreadable.Length)
        .Select(x => bands.Where(b => b.Wood is null || b.Wood[x]).Select(b => b.Unreadable[x]).DefaultIfEmpty(1).Average())];
}
