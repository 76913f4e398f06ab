using System.Text.Json.Serialization;

namespace GrainVision.Grading.Findings;

/// <summary>What is to be done about a surface's marks.</summary>
public enum SurfaceAnswer
{
    /// <summary>No mark needs a person's eye.</summary>
    [JsonStringEnumMemberName("clear")]
    Clear,

    /// <summary>A person is asked about each of the blemishes listed.</summary>
    [JsonStringEnumMemberName("ask")]
    Ask,
}

/// <summary>The decision on a surface as a whole, with what it promises.</summary>
/// <param name="Answer">Clear, or ask about the blemishes listed.</param>
/// <param name="AskFrom">Probability of a blemish of any kind from which a mark is asked about, 0 to 1.</param>
/// <param name="MissedAtMost">Share of surfaces with a blemish that the photo resolves which are called clear: at most this, 0 to 1.</param>
/// <param name="Doubt">Chance that it is more after all, by the luck of the pictures that <paramref name="AskFrom"/> was fitted to, 0 to 1.</param>
public sealed record SurfaceFinding(SurfaceAnswer Answer, double AskFrom, double MissedAtMost, double Doubt);

/// <summary>What a mark that is no blemish was taken for.</summary>
public enum HarmlessKind
{
    /// <summary>Wood that only looked odd.</summary>
    [JsonStringEnumMemberName("clear-wood")]
    ClearWood,

    /// <summary>Pencil, ink, chalk, a stamp.</summary>
    [JsonStringEnumMemberName("marking")]
    Marking,

    /// <summary>Saw steps, planer marks, torn fibres.</summary>
    [JsonStringEnumMemberName("machining")]
    Machining,

    [JsonStringEnumMemberName("dirt")]
    Dirt,

    [JsonStringEnumMemberName("glare")]
    Glare,

    [JsonStringEnumMemberName("indented-rings")]
    IndentedRings,

    [JsonStringEnumMemberName("bright-sapwood")]
    BrightSapwood,

    [JsonStringEnumMemberName("red-streak")]
    RedStreak,
}
