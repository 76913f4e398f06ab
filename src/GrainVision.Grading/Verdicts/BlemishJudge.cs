using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Grading.Rules;

namespace GrainVision.Grading.Verdicts;

/// <summary>One thing that was compared of one blemish.</summary>
internal sealed record BlemishPart(
    VerdictOutcome Outcome, string Text, string Quantity, Measured? Measured = null, double? LimitMm = null, string? HandCheck = null);

/// <summary>
/// Blemishes against their limits. Nothing is dropped: a candidate that is not clearly allowed holds, however unlikely, and one
/// rejects only when both its kind and its size are sure.
/// </summary>
internal static class BlemishJudge
{
    /// <summary>
    /// 0.95: probability from which a blemish is taken for what it is called, the coverage that every interval of this
    /// product has. Below it a broken limit is a hold, and so is one that is met: the mark may be something else.
    /// </summary>
    internal const double SureProbability = 0.95;

    /// <summary>0.01: probabilities are rounded to three decimals before they come here, a dozen of them.</summary>
    private const double KindRounding = 0.01;

    /// <summary>
    /// 6 px/mm on a face, 9 px/mm on an end: how finely the surface is read. A coarser photo is enlarged for it and need not show a crack of half a millimetre
    /// (drawn cases: tools/GrainVision.Accuracy/RESULTS.md, false accepts).
    /// </summary>
    internal static double LeastPxPerMmForCracks(View view) => view == View.End ? 9 : 6;

    private const string LookClosely = "Look at the mark with a lens and say what it is.";

    internal static LimitAssessment Judge(NeverAllowed limit, Measurement m, BlemishSetting setting) => Each(limit, m, setting, limit.Covers, b =>
    [
        new BlemishPart(VerdictOutcome.Reject, "never allowed", "kind", HandCheck: LookClosely),
    ]);

    internal static LimitAssessment Judge(LookByHand limit, Measurement m, BlemishSetting setting) => Each(limit, m, setting, limit.Covers, b =>
    [
        new BlemishPart(VerdictOutcome.Hold, limit.Text, "kind", HandCheck: limit.HandCheck),
    ]);

    /// <summary>Judges each blemish of a face that the limit covers; on an end a place or size along the face cannot be told, so it holds.</summary>
    internal static LimitAssessment EachOnFace(
        Limit limit, Measurement m, BlemishSetting setting, Func<BlemishKind, bool> covers, Func<BlemishFinding, IReadOnlyList<BlemishPart>> parts) =>
        Each(limit, m, setting, covers, b => m.View == View.Face
            ? parts(b)
            : [new BlemishPart(VerdictOutcome.Hold, "seen on an end, where its place and length on the faces do not show", "kind",
                HandCheck: "Follow the blemish from this end to the faces and judge it there.")]);

    /// <summary>A blemish that no limit of the book speaks of.</summary>
    internal static Reason NotCovered(RuleBook book, BlemishSetting setting, BlemishFinding blemish) => new(
        "not-covered",
        VerdictOutcome.Hold,
        $"{Title(setting, blemish)}: the rule book has no limit for it; defer to approved data.",
        $"rule book {book.Id}, version {book.Version}: no limit",
        At: blemish.Centre,
        HandCheck: LookClosely);

    private static LimitAssessment Each(
        Limit limit, Measurement m, BlemishSetting setting, Func<BlemishKind, bool> covers, Func<BlemishFinding, IReadOnlyList<BlemishPart>> parts)
    {
        if (CannotSayReasons.Find(m, CannotSayTopic.Blemishes) is { } cannot)
            return LimitAssessment.Judged(CannotSayReasons.Hold(limit, cannot));
        var found = m.Blemishes.Where(b => covers(b.Kind)).ToList();
        if (found.Count == 0)
            return LimitAssessment.Judged(NoneFound(limit, m, covers));
        return LimitAssessment.Judged([.. found.SelectMany(b => Reasons(limit, setting, b, ProbabilityOf(b, covers), parts(b)))]);
    }

    private static Reason NoneFound(Limit limit, Measurement m, Func<BlemishKind, bool> covers)
    {
        if ((covers(BlemishKind.Check) || covers(BlemishKind.ShakeOrSplit)) && m.Scale.PixelsPerMm.Value < LeastPxPerMmForCracks(m.View))
        {
            return new Reason(
                limit.Id, VerdictOutcome.Hold, $"None seen, but {m.Scale.PixelsPerMm.Value:0.0} pixels a millimetre need not show a fine crack.", limit.Source,
                HandCheck: $"Retake closer, {LeastPxPerMmForCracks(m.View):0} pixels a millimetre or more, or look for cracks with a lens.");
        }

        return new Reason(limit.Id, VerdictOutcome.Accept, $"None found on this {(m.View == View.End ? "end" : "face")}: {Kinds(covers)}.", limit.Source);
    }

    /// <summary>"check, shake or split".</summary>
    internal static string Kinds(Func<BlemishKind, bool> covers) => string.Join(", ", Enum.GetValues<BlemishKind>().Where(covers).Select(BlemishWords.From));

    /// <summary>One reason for each part that is not met, or a single one that says all that is.</summary>
    private static IEnumerable<Reason> Reasons(Limit limit, BlemishSetting setting, BlemishFinding blemish, double probability, IReadOnlyList<BlemishPart> parts)
    {
        var sure = probability is >= SureProbability and <= 1;
        var title = Title(setting, blemish);
        var open = parts.Where(p => p.Outcome != VerdictOutcome.Accept).ToList();
        if (open.Count == 0)
        {
            var outcome = sure ? VerdictOutcome.Accept : VerdictOutcome.Hold;
            var met = string.Join("; ", parts.Select(p => p.Text));
            yield return Make(new BlemishPart(outcome, sure ? met : $"{met}; but it may be something else", parts[0].Quantity, parts[0].Measured, parts[0].LimitMm, LookClosely));
        }

        foreach (var part in open)
        {
            var doubtful = part.Outcome == VerdictOutcome.Reject && !sure;
            yield return Make(doubtful ? part with { Outcome = VerdictOutcome.Hold, Text = $"{part.Text}, if it is one", HandCheck = LookClosely } : part);
        }

        Reason Make(BlemishPart part) => new(
            limit.Id, part.Outcome, $"{title}: {part.Text.TrimEnd('.')}.", limit.Source, part.Quantity, part.Measured, part.LimitMm,
            part.LimitMm is null ? null : "mm", blemish.Centre, part.Outcome == VerdictOutcome.Hold ? part.HandCheck ?? LookClosely : null);
    }

    /// <summary>
    /// Probability that the blemish is of any kind that the limit covers: a mark that is surely a check or a split is surely never allowed,
    /// though nobody can say which. Kinds that contradict the finding count for nothing.
    /// </summary>
    private static double ProbabilityOf(BlemishFinding b, Func<BlemishKind, bool> covers)
    {
        if (b.Kinds is not { Count: > 0 } kinds || !kinds.All(k => k.Probability is >= 0 and <= 1) || kinds.Sum(k => k.Probability) > 1 + KindRounding
            || kinds.Where(k => k.Kind == b.Kind).Sum(k => k.Probability) + KindRounding < b.Probability)
            return b.Probability;
        return kinds.Where(k => covers(k.Kind)).Sum(k => k.Probability);
    }

    /// <summary>"Knot (mark 2)": the number is that of the picture, or of the piece's list.</summary>
    private static string Title(BlemishSetting setting, BlemishFinding blemish)
    {
        var word = BlemishWords.From(blemish.Kind);
        return $"{char.ToUpperInvariant(word[0])}{word[1..]} (mark {setting.NumberOf(blemish)})";
    }
}
