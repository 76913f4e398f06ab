using System.Text.Json.Serialization;

namespace GrainVision.Grading.Findings;

/// <summary>Which kind of surface a photo shows (the trade's "view").</summary>
public enum View
{
    /// <summary>A crosscut end: growth rings show as arcs.</summary>
    [JsonStringEnumMemberName("end")]
    End,

    /// <summary>A long face: grain runs along side 1-2 of the outline.</summary>
    [JsonStringEnumMemberName("face")]
    Face,
}

/// <summary>How the piece was sawn out of the log, by the ring angle. See <see cref="CutClass"/>.</summary>
public enum Cut
{
    [JsonStringEnumMemberName("quarter-sawn")]
    QuarterSawn,

    [JsonStringEnumMemberName("rift-sawn")]
    RiftSawn,

    [JsonStringEnumMemberName("flat-sawn")]
    FlatSawn,
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
