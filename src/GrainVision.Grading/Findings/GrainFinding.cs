using System.Text.Json.Serialization;
using GrainVision.Grading.Quantities;

namespace GrainVision.Grading.Findings;

/// <summary>
/// Slope of grain of a face: deviation of the fibres from the piece's long axis as a tangent, signed: positive when the grain
/// drifts from side 1-2 towards side 3-4 going from corner 1 to corner 2.
/// </summary>
/// <param name="Slope">Overall slope over the length shown, tangent.</param>
/// <param name="OneIn">The same as 1:N, N unsigned; a null means flatter than can be told (N without bound).</param>
/// <param name="WorstWindow">Steepest window along the length, tangent, signed.</param>
/// <param name="Basis">What it was read from.</param>
/// <param name="Traces">Lines that follow the grain, px; for the picture and for runout.</param>
public sealed record GrainFinding(
    Measured Slope,
    OneIn OneIn,
    Measured WorstWindow,
    GrainBasis Basis,
    IReadOnlyList<IReadOnlyList<PointPx>> Traces)
{
    /// <summary>Middle of the worst window, px; for the picture.</summary>
    public PointPx? WorstWindowCentre { get; init; }

    /// <summary>Steepest slope found in an outer eighth of the face's width (AC 43.13-1B 1-39), tangent, signed; null where too little of it shows.</summary>
    public Measured? OuterEighths { get; init; }

    /// <summary>True where a person scribed or inked it, so that no hand check is asked for again. Not part of the contract: hand findings are kept as such.</summary>
    internal bool ByHand { get; init; }

    /// <summary>Slope window by window along the photo, in order; null where only the overall slope and the worst window were kept.</summary>
    public IReadOnlyList<SlopeAlong>? Along { get; init; }
}

/// <summary>Slope of one window along a face.</summary>
/// <param name="FromMm">Start along side 1-2 from corner 1, mm.</param>
/// <param name="ToMm">End, mm.</param>
/// <param name="Slope">Tangent, signed as in <see cref="GrainFinding"/>.</param>
public sealed record SlopeAlong(double FromMm, double ToMm, Measured Slope);

/// <summary>Slope as "1 in N". Unsigned; smaller N is steeper. <paramref name="Low"/> is the steep end.</summary>
/// <param name="Value">Best N; null where the grain is parallel to the axis as far as can be told (N over 9999).</param>
/// <param name="Low">N at the steep end of the interval.</param>
/// <param name="High">N at the flat end; null where the interval holds zero slope.</param>
public readonly record struct OneIn(double? Value, double? Low, double? High)
{
    /// <summary>9999: beyond it 1:N says nothing more.</summary>
    public const double Flattest = 9999;

    /// <summary>1:N of a signed slope (tangent).</summary>
    public static OneIn From(Measured slope)
    {
        var m = slope.Magnitude();
        return new OneIn(N(m.Value), N(m.High), N(m.Low));
    }

    private static double? N(double tangent) => tangent * Flattest < 1 ? null : 1 / tangent;
}

/// <summary>What the slope of grain on a face was read from.</summary>
public enum GrainBasis
{
    /// <summary>Growth-ring lines of a face that is near radial (edge grain).</summary>
    [JsonStringEnumMemberName("ringLines")]
    RingLines,

    /// <summary>Fine fibre streaks, much finer than a growth ring.</summary>
    [JsonStringEnumMemberName("fibreStreaks")]
    FibreStreaks,
}
