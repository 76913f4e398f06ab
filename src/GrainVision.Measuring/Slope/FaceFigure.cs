using OpenCvSharp;

namespace GrainVision.Measuring.Slope;

/// <summary>Which part of a face's figure to look at, by its scale across the grain.</summary>
/// <param name="FineSigmaMm">Finer than this is noise and fibre ends; smoothed away.</param>
/// <param name="CoarseSigmaMm">Coarser than this is light, colour and knots; subtracted.</param>
/// <param name="MostRowsPerMm">Rows to a mm that resolve the band.</param>
internal readonly record struct FigureBand(double FineSigmaMm, double CoarseSigmaMm, double MostRowsPerMm)
{
    /// <summary>Growth-ring lines: 0.85 mm (30 per inch) to about 6 mm apart.</summary>
    public static FigureBand RingLines => new(0.12, 3, 5);

    /// <summary>Fibre streaks: well under a ring's width.</summary>
    public static FigureBand FibreStreaks => new(0.03, 0.3, 10);
}

/// <summary>
/// A face's figure ready for slope search: band-passed across the grain, clipped at 2.5 robust deviations so that a knot cannot shout,
/// zero where there is no wood to speak of.
/// </summary>
internal sealed class FaceFigure
{
    /// <summary>2.5 robust standard deviations: what sticks out further is cut to it.</summary>
    private const float ClipAt = 2.5f;

    private FaceFigure(float[] values, FaceStrips strips)
    {
        Values = values;
        Columns = strips.Grey.Width;
        Rows = strips.Grey.Height;
        AlongPerMm = strips.ColumnsPerMm;
        AcrossPerMm = strips.RowsPerMm;
        OriginMm = strips.OriginMm;
    }

    /// <summary>Column after column: row r of column x lies at x * Rows + r. Zero where nothing is known.</summary>
    public float[] Values { get; }

    public int Columns { get; }

    public int Rows { get; }

    /// <summary>Columns per mm along the piece.</summary>
    public double AlongPerMm { get; }

    /// <summary>Rows per mm across it.</summary>
    public double AcrossPerMm { get; }

    public Point2d OriginMm { get; }

    /// <summary>Share of the figure that is known, 0 to 1.</summary>
    public double Known { get; private init; }

    /// <param name="strips">The face, already no finer than the band needs.</param>
    /// <param name="band">Which figure to keep.</param>
    /// <param name="ringEdges">CV_8UC1 of the strips' size, non-zero where the band is not to be trusted; null for none.</param>
    public static FaceFigure From(FaceStrips strips, FigureBand band, Mat? ringEdges = null)
    {
        using var passed = new Mat();
        using var coarse = new Mat();
        // Kernels of 6 sigma in all: the tails beyond are under 0.3 %.
        Cv2.GaussianBlur(strips.Grey, passed, new Size(1, Odd(6 * Math.Max(0.5, band.FineSigmaMm * strips.RowsPerMm))), 1, Math.Max(0.5, band.FineSigmaMm * strips.RowsPerMm));
        Cv2.GaussianBlur(strips.Grey, coarse, new Size(1, Odd(6 * band.CoarseSigmaMm * strips.RowsPerMm)), 1, Math.Max(0.8, band.CoarseSigmaMm * strips.RowsPerMm));
        Cv2.Subtract(passed, coarse, passed);

        using var known = strips.Inside.Clone();
        if (ringEdges is not null)
            known.SetTo(Scalar.All(0), ringEdges);
        using var turned = new Mat();
        Cv2.Transpose(passed, turned);
        using var turnedKnown = new Mat();
        Cv2.Transpose(known, turnedKnown);
        turned.GetArray(out float[] values);
        turnedKnown.GetArray(out byte[] kept);
        return new FaceFigure(values, strips) { Known = Clip(values, kept) };
    }

    private static double Clip(float[] values, byte[] kept)
    {
        var some = new List<float>((values.Length / 7) + 1);
        var count = 0;
        for (var i = 0; i < values.Length; i += 7)
        {
            if (kept[i] == 0)
                continue;
            some.Add(Math.Abs(values[i]));
            count++;
        }

        some.Sort();
        var perDeviation = 1 / (some.Count == 0 ? 1 : Math.Max(1e-3f, 1.4826f * some[some.Count / 2]));
        for (var i = 0; i < values.Length; i++)
            values[i] = kept[i] == 0 ? 0 : Math.Clamp(values[i] * perDeviation, -ClipAt, ClipAt);
        return 7.0 * count / Math.Max(1, values.Length);
    }

    private static int Odd(double length) => Math.Max(3, (2 * (int)Math.Ceiling(length / 2)) + 1);
}
