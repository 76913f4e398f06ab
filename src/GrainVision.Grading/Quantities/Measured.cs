using System.Text.Json.Serialization;

namespace GrainVision.Grading.Quantities;

/// <summary>
/// A measured number and the interval that is believed to hold the truth.
/// The unit is the one named by the property that carries it (<c>meanWidthMm</c>, <c>degrees</c>, ...).
/// </summary>
/// <param name="Value">Best estimate.</param>
/// <param name="Low">Lower end of the coverage interval, at most <paramref name="Value"/>.</param>
/// <param name="High">Upper end of the coverage interval, at least <paramref name="Value"/>.</param>
/// <param name="Level">Coverage probability of the interval, 0 to 1; 0.95 everywhere in this product.</param>
/// <remarks>
/// The interval may be lopsided (a missed ring is likelier than an invented one). The vocabulary
/// (coverage interval, coverage probability) is that of JCGM 100 and JCGM 106.
/// </remarks>
public readonly record struct Measured(double Value, double Low, double High, double Level = Measured.DefaultLevel)
{
    /// <summary>0.95: the coverage probability of every interval of this product.</summary>
    public const double DefaultLevel = 0.95;

    /// <summary>1.96: half-width of a 95 % interval in standard deviations of a normal distribution.</summary>
    public const double CoverageFactor = 1.959964;

    /// <summary>Standard uncertainty equivalent to the interval's wider half.</summary>
    [JsonIgnore]
    public double StandardUncertainty => Math.Max(High - Value, Value - Low) / CoverageFactor;

    /// <summary>A value with a symmetric 95 % interval of 1.96 standard uncertainties.</summary>
    public static Measured FromStandardUncertainty(double value, double standardUncertainty)
    {
        var half = CoverageFactor * Math.Abs(standardUncertainty);
        return new Measured(value, value - half, value + half);
    }

    /// <summary>A value known exactly, such as a size that the caller states.</summary>
    public static Measured Exact(double value) => new(value, value, value);

    /// <summary>The same quantity in another unit; <paramref name="factor"/> may be negative (the ends swap).</summary>
    public Measured Scale(double factor) => factor >= 0
        ? new Measured(Value * factor, Low * factor, High * factor, Level)
        : new Measured(Value * factor, High * factor, Low * factor, Level);

    /// <summary>The interval cut to a range that the quantity cannot leave, such as 0 to 90 degrees.</summary>
    public Measured ClampTo(double least, double greatest) => new(
        Math.Clamp(Value, least, greatest), Math.Clamp(Low, least, greatest), Math.Clamp(High, least, greatest), Level);

    /// <summary>
    /// The magnitude of a signed quantity. Where the interval holds zero, the low end is zero:
    /// a slope of -0.01 to +0.03 is a steepness of 0 to 0.03.
    /// </summary>
    public Measured Magnitude()
    {
        var high = Math.Max(Math.Abs(Low), Math.Abs(High));
        var low = Low <= 0 && High >= 0 ? 0 : Math.Min(Math.Abs(Low), Math.Abs(High));
        return new Measured(Math.Abs(Value), low, high, Level);
    }
}
