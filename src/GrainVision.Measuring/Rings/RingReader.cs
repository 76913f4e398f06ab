using GrainVision.Measuring.Imaging;
using OpenCvSharp;
using Range = System.Range;

namespace GrainVision.Measuring.Rings;

/// <summary>The rings of a strip.</summary>
/// <param name="Candidates">Every place that may be a boundary, ascending by column.</param>
/// <param name="Chosen">Those taken for boundaries.</param>
/// <param name="Unreadable">Of each column, the share of the bands that cannot be read there.</param>
internal sealed record RingReading(IReadOnlyList<RingCandidate> Candidates, IReadOnlyList<RingCandidate> Chosen, double[] Unreadable);

/// <summary>
/// Reads the rings of a strip with the network: once as it is, to learn how wide the rings are, then so scaled that the median ring is as wide as the network
/// knows best, on three parallel bands.
/// </summary>
internal static class RingReader
{
    /// <summary>0.5: chance from which a candidate is a boundary.</summary>
    public const double TakenFrom = 0.5;

    /// <summary>14 columns: ring width that the network reads best; strips within a tenth of that are not read again.</summary>
    private const double BestWidth = 14;
    private const double AlikeWithin = 1.1;

    /// <summary>0.35 to 2: scales that the network was taught.</summary>
    private const double LeastScale = 0.35;
    private const double MostScale = 2;

    /// <summary>0.4: chance from which a boundary of the first look tells the ring width.</summary>
    private const double ClearChance = 0.4;

    /// <param name="coloursAt">The strip in so many columns for each of its own (1 or more): CV_8UC3, blue-green-red. Each is disposed here.</param>
    /// <param name="inside">CV_32FC1 in the strip's own columns: 1 on the wood.</param>
    /// <param name="centreRow">Row that lies on the path.</param>
    public static RingReading? Read(Func<double, Mat> coloursAt, Mat inside, int centreRow)
    {
        using var plain = coloursAt(1);
        var wood = Wood(inside);
        var rows = BandRows(plain.Height, centreRow);
        var first = Read(plain, rows[0]);
        var width = MedianWidth(first);
        if (width is null)
            return null;
        var scale = Math.Clamp(BestWidth / width.Value, LeastScale, MostScale);
        var same = scale is > 1 / AlikeWithin and < AlikeWithin;
        scale = same ? 1 : scale;
        using var scaled = same ? null : scale < 1 ? StripColours.Narrower(plain, scale) : coloursAt(scale);
        var bands = new List<RingBand>();
        foreach (var range in rows)
            bands.Add(RingBand.From(same && bands.Count == 0 ? first : Read(scaled ?? plain, range), scale, wood(range)));

        var candidates = RingConnector.Connect(bands[0], bands.GetRange(1, bands.Count - 1));
        return new RingReading(candidates, Choose(candidates, 2.5 / scale), Unreadable(bands));
    }

    /// <summary>The candidates that are more likely a boundary than not, the likelier one where two lie too close.</summary>
    private static List<RingCandidate> Choose(List<RingCandidate> candidates, double leastApart)
    {
        var chosen = new List<RingCandidate>();
        foreach (var c in candidates.Where(c => c.Chance >= TakenFrom).OrderByDescending(c => c.Chance).ThenBy(c => c.At))
        {
            if (chosen.TrueForAll(k => Math.Abs(k.At - c.At) >= leastApart))
                chosen.Add(c);
        }

        chosen.Sort((a, b) => a.At.CompareTo(b.At));
        return chosen;
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

    private static double? MedianWidth(ColumnReading reading)
    {
        var at = RingBand.Maxima(reading.Boundary).Where(b => b.Chance > ClearChance).Select(b => b.At).ToArray();
        return at.Length < 3 ? null : Profile.Quantile(at.Zip(at.Skip(1), (a, b) => b - a), 0.5);
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

    private static double[] Unreadable(List<RingBand> bands) =>
        [.. Enumerable.Range(0, bands[0].Unreadable.Length).Select(x => bands.Average(b => b.Unreadable[x]))];
}
