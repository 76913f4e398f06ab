using System.Text.Json.Serialization;

namespace GrainVision.Grading.ByHand;

/// <summary>What a person found, by kind: what a question asks for is named by the same words.</summary>
public enum HandKind
{
    /// <summary>Moisture content, by meter or oven-dry.</summary>
    [JsonStringEnumMemberName("moisture")]
    Moisture,

    /// <summary>Weight of the piece, or its specific gravity.</summary>
    [JsonStringEnumMemberName("weight")]
    Weight,

    /// <summary>Length, width or thickness of the piece.</summary>
    [JsonStringEnumMemberName("size")]
    Size,

    /// <summary>Rings counted on an end.</summary>
    [JsonStringEnumMemberName("rings")]
    Rings,

    /// <summary>Angle of the rings to the wide face.</summary>
    [JsonStringEnumMemberName("ring-angle")]
    RingAngle,

    /// <summary>Slope of grain by scribe, ink or split.</summary>
    [JsonStringEnumMemberName("slope")]
    Slope,

    /// <summary>What a mark is, and how large.</summary>
    [JsonStringEnumMemberName("mark")]
    Mark,

    /// <summary>A look that answers a limit without a number.</summary>
    [JsonStringEnumMemberName("look")]
    Look,

    /// <summary>Which wood it is.</summary>
    [JsonStringEnumMemberName("species")]
    Species,
}

/// <summary>How moisture content was found.</summary>
public enum MoistureMethod
{
    /// <summary>By a meter, whose reading is corrected for the species.</summary>
    [JsonStringEnumMemberName("meter")]
    Meter,

    /// <summary>By weighing a sample before and after drying it in an oven.</summary>
    [JsonStringEnumMemberName("oven-dry")]
    OvenDry,
}

/// <summary>What a person saw of a limit that has no number.</summary>
public enum HandAnswer
{
    /// <summary>Looked at, and the limit is kept.</summary>
    [JsonStringEnumMemberName("met")]
    Met,

    /// <summary>Looked at, and the limit is broken.</summary>
    [JsonStringEnumMemberName("broken")]
    Broken,
}
