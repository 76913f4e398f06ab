using System.Text.Json.Serialization;

namespace GrainVision.Grading.Findings;

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

/// <summary>The two ways in which the trade names a cut from its ring angle.</summary>
public static class CutClass
{
    /// <summary>45: at or above it a piece is edge-grained (ANC-19 2.402, NAVFAC MO-111).</summary>
    public const double EdgeGrainFromDeg = 45;

    /// <summary>30: below it flat-sawn (Wood Handbook GTR-190 ch. 3 glossary, from memory, confidence 0.85).</summary>
    public const double RiftFromDeg = 30;

    /// <summary>60: at or above it quarter-sawn (same source).</summary>
    public const double QuarterFromDeg = 60;

    /// <summary>Said beside every cut, since the two conventions differ between 45 and 60 degrees.</summary>
    public const string Convention = "flat below 30°, rift 30° to below 60°, quarter 60° and more; edge-grained from 45° (ANC-19 2.402)";

    /// <summary>Class of a ring angle of 0 to 90 degrees by the 30/60 convention.</summary>
    public static Cut From(double ringAngleDeg) => ringAngleDeg switch
    {
        >= QuarterFromDeg => Cut.QuarterSawn,
        >= RiftFromDeg => Cut.RiftSawn,
        _ => Cut.FlatSawn,
    };
}
