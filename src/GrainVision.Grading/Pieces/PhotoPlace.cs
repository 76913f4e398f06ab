using System.Text.Json.Serialization;
using GrainVision.Grading.Findings;

namespace GrainVision.Grading.Pieces;

/// <summary>Where on a delivery's pieces a photo belongs.</summary>
/// <param name="PieceNumber">Number within the delivery.</param>
/// <param name="Surface">Which end or face it shows.</param>
public sealed record PhotoPlace(int PieceNumber, Surface Surface)
{
    /// <summary>
    /// Station of the photo's corner 1 (the start of its outline's side 1-2), mm from end A; null where not known, which for a
    /// photo of the whole face means 0.
    /// </summary>
    public double? StationMm { get; init; }

    /// <summary>True where the photo shows the face from end to end.</summary>
    public bool WholeFace { get; init; }

    /// <summary>
    /// Half-width of the 95 % interval of <see cref="StationMm"/>, mm. 25 where nobody says better: an inch, a tape laid along a rough
    /// flitch (common practice, no source).
    /// </summary>
    public double StationUncertaintyMm { get; init; } = 25;

    /// <summary>
    /// True where side 1-2 of the outline runs from end B towards end A, so that places along the photo count backwards from
    /// <see cref="StationMm"/>. False, the habit to keep to: end A lies at the left.
    /// </summary>
    public bool FromEndB { get; init; }

    /// <summary>The contract's view.</summary>
    [JsonIgnore]
    public View View => Surface is Surface.EndA or Surface.EndB ? View.End : View.Face;
}

/// <summary>A photo's measurement and where it belongs.</summary>
public sealed record PlacedMeasurement(PhotoPlace Place, Measurement Measurement);
