using System.Text.Json.Serialization;

namespace GrainVision.Grading.Findings;

/// <summary>What a question asks for, in the order in which a person walks round a piece: ends with the lens, faces with light, meter, scale, scribe, desk.</summary>
public enum QuestionCode
{
    /// <summary>An end that no photo shows.</summary>
    [JsonStringEnumMemberName("show-end")]
    ShowEnd,

    /// <summary>Rings in the worst inch of an end.</summary>
    [JsonStringEnumMemberName("rings")]
    Rings,

    /// <summary>Angle of the rings to the wide face, on an end.</summary>
    [JsonStringEnumMemberName("ring-angle")]
    RingAngle,

    /// <summary>Whether the pith lies inside an end.</summary>
    [JsonStringEnumMemberName("pith")]
    Pith,

    /// <summary>What a mark is, or how large.</summary>
    [JsonStringEnumMemberName("mark")]
    Mark,

    /// <summary>Fine cracks where the photos are too coarse to show them.</summary>
    [JsonStringEnumMemberName("cracks")]
    Cracks,

    /// <summary>Stretches of faces that no photo shows.</summary>
    [JsonStringEnumMemberName("look-over")]
    LookOver,

    /// <summary>Moisture content.</summary>
    [JsonStringEnumMemberName("moisture")]
    Moisture,

    /// <summary>Weight of the piece.</summary>
    [JsonStringEnumMemberName("weight")]
    Weight,

    /// <summary>Sizes that the specific gravity needs.</summary>
    [JsonStringEnumMemberName("size")]
    Size,

    /// <summary>Slope of grain by scribe or split.</summary>
    [JsonStringEnumMemberName("slope")]
    Slope,

    /// <summary>Whether the fibres run as the pictures show.</summary>
    [JsonStringEnumMemberName("fibres")]
    Fibres,

    /// <summary>Whether the rule in the photos is metric.</summary>
    [JsonStringEnumMemberName("rule-unit")]
    RuleUnit,

    /// <summary>Whether the outlines in the pictures run along the wood's edges.</summary>
    [JsonStringEnumMemberName("outline")]
    Outline,

    /// <summary>Which wood it is.</summary>
    [JsonStringEnumMemberName("species")]
    Species,

    /// <summary>Where a photo belongs.</summary>
    [JsonStringEnumMemberName("photo-place")]
    PhotoPlace,

    /// <summary>A limit that no rule decides: a person does, from approved data.</summary>
    [JsonStringEnumMemberName("approved-data")]
    ApprovedData,
}
