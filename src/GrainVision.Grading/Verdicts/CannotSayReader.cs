using GrainVision.Grading.Findings;
using GrainVision.Grading.Rules;

namespace GrainVision.Grading.Verdicts;

/// <summary>What a "cannot say" is about, as far as limits go.</summary>
internal enum Topic
{
    Rings,
    RingAngle,
    Grain,
    Blemishes,

    /// <summary>Something that no limit rests on by itself: goes on as a hand check.</summary>
    HandCheckOnly,

    /// <summary>A word that the judge does not know: hold, since it may be anything.</summary>
    Unknown,
}

/// <summary>Sorts "cannot say" entries by limit. None is dropped.</summary>
internal static class CannotSayReader
{
    // Letters only, lower case: "ring angle", "ringAngle" and "ring-angle" are one word.
    private static readonly Dictionary<string, Topic> Words = new(StringComparer.Ordinal)
    {
        ["rings"] = Topic.Rings,
        ["ring"] = Topic.Rings,
        ["ringsperinch"] = Topic.Rings,
        ["perinch"] = Topic.Rings,
        ["worstinch"] = Topic.Rings,
        ["ringangle"] = Topic.RingAngle,
        ["angle"] = Topic.RingAngle,
        ["cut"] = Topic.RingAngle,
        ["grain"] = Topic.Grain,
        ["slope"] = Topic.Grain,
        ["slopeofgrain"] = Topic.Grain,
        ["worstwindow"] = Topic.Grain,
        ["runout"] = Topic.Grain,
        ["blemishes"] = Topic.Blemishes,
        ["blemish"] = Topic.Blemishes,
        ["knots"] = Topic.Blemishes,
        ["spiralgrain"] = Topic.HandCheckOnly,
        ["pith"] = Topic.HandCheckOnly,
        ["latewoodshare"] = Topic.HandCheckOnly,
        ["latewood"] = Topic.HandCheckOnly,
        ["size"] = Topic.HandCheckOnly,
        ["outereighths"] = Topic.HandCheckOnly,
        ["compressionfailures"] = Topic.HandCheckOnly,
        ["compressionwood"] = Topic.HandCheckOnly,
        ["decay"] = Topic.HandCheckOnly,
    };

    internal static Topic TopicOf(CannotSay cannot) =>
        Words.GetValueOrDefault(string.Concat(cannot.What.Where(char.IsAsciiLetter)).ToLowerInvariant(), Topic.Unknown);

    internal static CannotSay? Find(Measurement m, Topic topic) => m.CannotSay.FirstOrDefault(c => TopicOf(c) == topic);

    internal static Reason Hold(Limit limit, CannotSay cannot) => new(
        limit.Id, VerdictOutcome.Hold, $"Cannot say {cannot.What} from this photo: {cannot.Why}", limit.Source, HandCheck: cannot.HandCheck);
}
