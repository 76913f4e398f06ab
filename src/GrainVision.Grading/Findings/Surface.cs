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

/// <summary>One of the six surfaces of a piece. Faces 1 to 4 go round it; 1 and 3 are the wide ones.</summary>
public enum Surface
{
    [JsonStringEnumMemberName("endA")]
    EndA,

    [JsonStringEnumMemberName("endB")]
    EndB,

    [JsonStringEnumMemberName("face1")]
    Face1,

    [JsonStringEnumMemberName("face2")]
    Face2,

    [JsonStringEnumMemberName("face3")]
    Face3,

    [JsonStringEnumMemberName("face4")]
    Face4,
}
