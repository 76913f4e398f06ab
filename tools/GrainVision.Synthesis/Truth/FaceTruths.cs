using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;

namespace GrainVision.Synthesis;

/// <summary>
/// Grain of a face. Slopes are tangents, positive when the grain drifts from side 1-2 towards side 3-4 going from corner 1 to 2.
/// </summary>
/// <param name="Slope">Fibre slope on this face, mean over the part shown, away from knots.</param>
/// <param name="OneIn">1:N of it; null where it is flatter than 1:9999.</param>
/// <param name="WorstWindow">Fibre slope of greatest size in any window of <paramref name="WindowMm"/> along the length, full width, away from knots.</param>
/// <param name="WindowMm">Length of such a window, mm.</param>
/// <param name="WindowSlopes">Fibre slope of each window along the length, from corner 1 to 2.</param>
/// <param name="RingLineSlope">Slope of the growth-ring lines on this face (diagonal grain as it shows), mean.</param>
/// <param name="RingAngleDeg">Angle between the rings' tangent and this face at its middle, 0 to 90.</param>
/// <param name="EdgeGrain">True where that angle is 45 degrees and more over most of the part shown.</param>
/// <param name="NearRadial">True where that angle is 60 degrees and more over nearly all of the part shown: ring lines tell the fibre slope.</param>
/// <param name="AdjacentSlope">Fibre slope on the face next to this one (across side 3-4), drifting away from this face positive.</param>
/// <param name="CombinedSlope">Root of the sum of squares of both.</param>
/// <param name="SpiralDeg">Spiral angle at the middle of the face.</param>
/// <param name="Traces">True fibre lines on the face, px.</param>
public sealed record GrainTruth(
    double Slope,
    double? OneIn,
    double WorstWindow,
    double WindowMm,
    IReadOnlyList<double?> WindowSlopes,
    double RingLineSlope,
    double RingAngleDeg,
    bool EdgeGrain,
    bool NearRadial,
    double AdjacentSlope,
    double CombinedSlope,
    double SpiralDeg,
    IReadOnlyList<IReadOnlyList<PointPx>> Traces)
{
    /// <summary>Of the two outer eighths of the width, the fibre slope of greater size, each the mean over the part shown, away from knots; null where knots take both.</summary>
    public double? OuterEighths { get; init; }

    /// <summary>Middle of the window of <see cref="WorstWindow"/>, px; null where no window is clear.</summary>
    public PointPx? WorstWindowCentre { get; init; }
}

/// <summary>A blemish by ANC-19's two definitions of size; lengths in mm on the surface, points in px.</summary>
/// <param name="Kind">What it is.</param>
/// <param name="Centre">Middle of its outline, px.</param>
/// <param name="SizeMm">Distance between two lines parallel to the face's edges that enclose it (ANC-19 2.301), mm: the extent across.</param>
/// <param name="DiameterMm">Least distance between any two parallel lines that enclose it, mm.</param>
/// <param name="LengthMm">Extent along side 1-2, mm.</param>
/// <param name="WidthMm">Extent along side 2-3, mm.</param>
/// <param name="EdgeDistanceMm">From its rim to the nearest edge of the surface, mm; 0 where it reaches the edge.</param>
/// <param name="AlongMm">Middle along side 1-2 from the outline's corner 1, mm.</param>
/// <param name="AcrossMm">Middle across from side 1-2, mm.</param>
/// <param name="Contrast">How dark it is against its surroundings, 0 to 1: under about 0.1 a person would look twice.</param>
/// <param name="Outline">Its rim, px.</param>
public sealed record BlemishTruth(
    BlemishKind Kind,
    PointPx Centre,
    double SizeMm,
    double DiameterMm,
    double LengthMm,
    double WidthMm,
    double EdgeDistanceMm,
    double AlongMm,
    double AcrossMm,
    double Contrast,
    IReadOnlyList<PointPx> Outline)
{
    /// <summary>Of a face: steepest fibre slope at its two edges beside the blemish, tangent, signed; null on an end.</summary>
    public double? EdgeSlope { get; init; }
}

/// <summary>Something that must not be flagged.</summary>
/// <param name="Kind">bright-sapwood, indented-rings, red-streak, pencil-mark, stamp, dirt, saw-marks.</param>
/// <param name="Outline">
/// Convex hull of where it lies, px; the whole surface for dirt and saw marks; empty for sapwood and indented rings of the log that this surface does not show.
/// </param>
public sealed record NonBlemishTruth(string Kind, IReadOnlyList<PointPx> Outline);
