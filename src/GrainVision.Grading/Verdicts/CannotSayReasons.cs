using GrainVision.Grading.Findings;
using GrainVision.Grading.Rules;

namespace GrainVision.Grading.Verdicts;

/// <summary>What a "cannot say" does to a verdict. None is dropped: it holds a limit, holds by itself, or goes on as a hand check.</summary>
internal static class CannotSayReasons
{
    internal static CannotSay? Find(Measurement m, CannotSayTopic topic) => m.CannotSay.FirstOrDefault(c => c.What == topic);

    /// <summary>The limit's hold for want of what it needs.</summary>
    internal static Reason Hold(Limit limit, CannotSay cannot) => new(
        limit.Id, VerdictOutcome.Hold, $"Cannot say {cannot.Subject} from this photo: {cannot.Why}", limit.Source, HandCheck: cannot.HandCheck);

    /// <summary>Holds of what no limit names: evidence left out, and words of another version.</summary>
    /// <param name="all">All of them.</param>
    /// <param name="from">" from this photo", or nothing.</param>
    /// <param name="source">What stands for the source.</param>
    internal static IEnumerable<Reason> HoldsByItself(IEnumerable<CannotSay> all, string from, string source) => all
        .Where(c => HoldsByItself(c.What))
        .Select(c => new Reason("cannot-say", VerdictOutcome.Hold, $"Cannot say {c.Subject}{from}: {c.Why}", source, HandCheck: c.HandCheck));

    /// <summary>True where a piece takes it as a hand check or a hold: the limits do not speak of it.</summary>
    internal static bool IsOfNoLimit(CannotSayTopic topic) =>
        topic is not (CannotSayTopic.Rings or CannotSayTopic.RingAngle or CannotSayTopic.Grain or CannotSayTopic.Blemishes);

    private static bool HoldsByItself(CannotSayTopic topic) => topic is CannotSayTopic.Unknown or CannotSayTopic.PhotoPlace or CannotSayTopic.PlaceAlongPiece;
}
