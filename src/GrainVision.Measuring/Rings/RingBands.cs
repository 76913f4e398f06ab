using GrainVision.Measuring.Numerics;
using GrainVision.Measuring.Orientation;

namespace GrainVision.Measuring.Rings;

/// <summary>
/// Grey-level profiles along a straight strip: one for the whole strip and one for each of several parallel bands, so that
/// chance and blemishes show as disagreement between bands.
/// </summary>
/// <param name="Whole">Mean over all rows, normalised, see <see cref="Normalise"/>.</param>
/// <param name="Bands">Mean over each band's rows, normalised the same way; NaN-free, ordered across the strip.</param>
/// <param name="FirstColumn">First column of the strip with enough wood under it; index 0 of the profiles.</param>
/// <param name="PitchPxPerMm">Samples per mm.</param>
internal sealed record RingBands(double[] Whole, double[][] Bands, int FirstColumn, double PitchPxPerMm)
{
    /// <summary>7: an odd number, so that the middle band lies on the path; five or six must agree.</summary>
    private const int BandCount = 7;

    /// <summary>3: three sevenths of the width have a fifth of the shift that a bend leaves.</summary>
    private const int MiddleBands = 3;

    /// <summary>
    /// Mean over the middle bands alone, normalised the same way; null where there is none. Farther out what is left of the rings' crookedness shifts the mean: the whole
    /// strip tells which rings there are, the middle where they are.
    /// </summary>
    public double[]? Middle { get; init; }

    /// <summary>
    /// Of each band, the samples with wood under half its rows or more; null where all have. Beyond the section's slanting rim a band shows nothing, and cannot
    /// speak against a ring.
    /// </summary>
    public bool[][]? Seen { get; init; }

    public static RingBands? From(UnrolledStrip strip)
    {
        var (width, height) = (strip.Grey.Width, strip.Grey.Height);
        strip.Grey.GetArray(out float[] grey);
        strip.Inside.GetArray(out float[] inside);
        var (first, last) = WoodyColumns(inside, width, strip.CentreRow);
        var length = last - first + 1;
        if (length < 8)
            return null;

        var bands = new List<double[]>();
        var seen = new List<bool[]>();
        for (var b = 0; b < BandCount; b++)
        {
            var (from, to) = (b * height / BandCount, (b + 1) * height / BandCount);
            if (Mean(grey, inside, width, first, length, from, to) is not { } band)
                continue;
            bands.Add(Normalise(band.Grey, strip.PitchPxPerMm));
            seen.Add([.. band.Rows.Select(r => r >= (to - from) / 2f)]);
        }

        var middle = Mean(grey, inside, width, first, length, (BandCount - MiddleBands) / 2 * height / BandCount, (BandCount + MiddleBands) / 2 * height / BandCount);
        var whole = Mean(grey, inside, width, first, length, 0, height);
        return whole is null ? null : new RingBands(Normalise(whole.Value.Grey, strip.PitchPxPerMm), [.. bands], first, strip.PitchPxPerMm)
        {
            Seen = [.. seen],
            Middle = middle is null ? null : Normalise(middle.Value.Grey, strip.PitchPxPerMm),
        };
    }

    /// <summary>
    /// Takes out slow changes of light and colour: subtracts the local mean and divides by the local spread over a Gaussian window of
    /// 8 mm, a little more than the widest ring that any rule lets pass (4.2 mm at 6 rings/in).
    /// </summary>
    public static double[] Normalise(double[] profile, double pitch)
    {
        const double windowMm = 8;
        var mean = Profile.Smooth(profile, windowMm * pitch);
        var residual = profile.Select((p, i) => p - mean[i]).ToArray();
        var variance = Profile.Smooth([.. residual.Select(r => r * r)], windowMm * pitch);
        // 0.5 grey levels: below that there is no figure, only sensor noise, and it must not be blown up.
        return [.. residual.Select((r, i) => r / Math.Sqrt(variance[i] + 0.25))];
    }

    private static (int First, int Last) WoodyColumns(float[] inside, int width, int centreRow)
    {
        var (first, last) = (0, width - 1);
        while (first < last && inside[(centreRow * width) + first] < 0.5f)
            first++;
        while (last > first && inside[(centreRow * width) + last] < 0.5f)
            last--;
        return (first, last);
    }

    private static (double[] Grey, float[] Rows)? Mean(float[] grey, float[] inside, int width, int first, int length, int fromRow, int toRow)
    {
        var sum = new double[length];
        var count = new float[length];
        for (var y = fromRow; y < toRow; y++)
        {
            var row = (y * width) + first;
            for (var x = 0; x < length; x++)
            {
                sum[x] += grey[row + x] * inside[row + x];
                count[x] += inside[row + x];
            }
        }

        // Where the strip leaves the section on one side, the last good sample is carried on: no edge is invented there.
        var covered = count.Count(c => c > 0);
        if (covered < 0.6 * length)
            return null;
        var carried = sum[Array.FindIndex(count, c => c > 0)] / count.First(c => c > 0);
        for (var x = 0; x < length; x++)
        {
            if (count[x] > 0)
                carried = sum[x] / count[x];
            sum[x] = carried;
        }

        return (sum, count);
    }
}
