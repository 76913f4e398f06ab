using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;

namespace GrainVision.Grading.Pieces;

/// <summary>What all photos of one piece say together. Null means that no photo shows it, or that <see cref="CannotSay"/> says why.</summary>
public sealed record PieceFindings
{
    /// <summary>The photos that were joined, in the order of surface and station.</summary>
    public required IReadOnlyList<PlacedMeasurement> Photos { get; init; }

    /// <summary>Surfaces of which no photo was measured.</summary>
    public required IReadOnlyList<Surface> NotShown { get; init; }

    /// <summary>Least rings per inch in any one inch of either end (ANC-19 2.413): the worst governs.</summary>
    public Measured? WorstInch { get; init; }

    /// <summary>Least ring angle found on either end, degrees.</summary>
    public Measured? RingAngleDegrees { get; init; }

    /// <summary>
    /// True slope of grain, tangent, unsigned: root of the sum of squares of two adjacent faces (ANC-19 2.3022, MIL-DTL-6070C), the
    /// steepest pair. Null where no two adjacent faces show the fibres.
    /// </summary>
    public Measured? CombinedSlope { get; init; }

    /// <summary>Blemishes of the whole piece; one that shows on several faces or photos counts once.</summary>
    public IReadOnlyList<PieceBlemish> Blemishes { get; init; } = [];

    /// <summary>What the photos together cannot tell.</summary>
    public IReadOnlyList<CannotSay> CannotSay { get; init; } = [];
}

/// <summary>A blemish of a piece.</summary>
/// <param name="Kind">Likeliest kind.</param>
/// <param name="Probability">Probability that it is a blemish of this kind, 0 to 1.</param>
/// <param name="StationMm">Middle, mm from end A; null where the photo's station is not known.</param>
/// <param name="SizeMm">ANC-19 2.301 size, mm; of a knot on opposite faces: the average, counted once.</param>
/// <param name="DiameterMm">ANC-19 2.301 diameter, mm, averaged likewise.</param>
/// <param name="LengthMm">Extent along the piece, mm.</param>
/// <param name="EdgeDistanceMm">Least distance from its rim to the nearest edge, mm.</param>
/// <param name="Surfaces">Surfaces on which it shows.</param>
/// <param name="Photos">SHA-256 of the photos that show it, in the order of <paramref name="Surfaces"/>.</param>
public sealed record PieceBlemish(
    BlemishKind Kind,
    double Probability,
    double? StationMm,
    Measured SizeMm,
    Measured DiameterMm,
    double LengthMm,
    double EdgeDistanceMm,
    IReadOnlyList<Surface> Surfaces,
    IReadOnlyList<string> Photos)
{
    /// <summary>Half-width of the 95 % interval of <see cref="StationMm"/>, mm.</summary>
    public double StationUncertaintyMm { get; init; }

    /// <summary>Extent across the face, mm: the larger where it shows on several.</summary>
    public double WidthMm { get; init; }
}
