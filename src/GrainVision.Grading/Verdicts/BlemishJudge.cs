using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Grading.Rules;

namespace GrainVision.Grading.Verdicts;

/// <summary>
/// Blemishes of one surface against a book's blemish limits. Every candidate is spoken of: one that no limit clearly allows holds at least.
/// </summary>
internal static class BlemishJudge
{
    /// <summary>
    /// 0.9: probability of its kind from which a blemish is decided on. Under it the kind is not sure enough to reject a good piece or to
    /// accept a knot that might be something worse: a person looks. Common practice, no source.
    /// </summary>
    public const double SureFrom = 0.9;

    private const string Look = "Look at the mark with a lens, say what it is and measure it.";

    internal static IReadOnlyList<Reason> Judge(RuleBook book, Measurement m)
    {
        var limits = book.Limits.OfType<IBlemishLimit>().ToList();
        if (limits.Count == 0)
            return [];
        if (CannotSayReader.Find(m, Topic.Blemishes) is { } cannot)
            return [CannotSayReader.Hold((Limit)limits[0], cannot)];
        if (m.Blemishes.Count == 0)
        {
            var all = string.Join("; ", limits.Cast<Limit>().Select(l => l.Source).Distinct(StringComparer.Ordinal));
            return [new Reason("blemishes", VerdictOutcome.Accept, "No blemish was found on this surface by looking for dark and odd places.", all)];
        }

        return [.. m.Blemishes.SelectMany((b, i) => OneBlemish(limits, m, b, i + 1))];
    }

    private static IEnumerable<Reason> OneBlemish(IReadOnlyList<IBlemishLimit> limits, Measurement m, BlemishFinding b, int number)
    {
        var covering = limits.Where(l => l.Covers(b.Kind)).ToList();
        if (covering.Count == 0)
        {
            yield return new Reason(
                "no-limit-known", VerdictOutcome.Hold, $"{Name(b, number)}: this rule book has no limit for it.", "no published limit", At: b.Centre, HandCheck: Look);
        }

        foreach (var limit in covering)
        {
            var (outcome, why, check) = Decide(limit, m, b);
            if (b.Probability < SureFrom && outcome != VerdictOutcome.Hold)
                (outcome, why, check) = (VerdictOutcome.Hold, $"the kind is not sure ({ReasonText.Percent(b.Probability)}); if it is one: {why}", Look);
            var source = ((Limit)limit).Source;
            yield return new Reason(
                ((Limit)limit).Id, outcome, $"{Name(b, number)}: {why}. Source: {source}.", source, "diameterMm", b.DiameterMm, null, "mm", b.Centre,
                outcome == VerdictOutcome.Hold ? check ?? Look : null);
        }
    }

    private static (VerdictOutcome Outcome, string Why, string? Check) Decide(IBlemishLimit limit, Measurement m, BlemishFinding b)
    {
        if (limit is NeverAllowed)
            return (VerdictOutcome.Reject, "never allowed", null);
        if (limit is LookByHand look)
            return (VerdictOutcome.Hold, "a photo cannot settle it", look.HandCheck);
        if (m.View == View.End)
            return (VerdictOutcome.Hold, "the limit speaks of faces; follow it to the face where it comes out", "Find where this comes out on the faces and measure it there.");
        return limit switch
        {
            KnotInBeam knot => KnotJudge.InBeam(knot, m, b),
            KnotInSmallPart knot => KnotJudge.InSmallPart(knot, m, b),
            PitchPocketInBeam pocket => PitchPocketJudge.InBeam(pocket, m, b),
            PitchPocketInSolidSpar pocket => PitchPocketJudge.InSolidSpar(pocket, m, b),
            PitchPocketInSmallPart pocket => PitchPocketJudge.InSmallPart(pocket, m, b),
            _ => (VerdictOutcome.Hold, "no judge knows this limit", Look),
        };
    }

    private static string Name(BlemishFinding b, int number)
    {
        var kind = b.Kind switch
        {
            BlemishKind.LooseKnot => "loose knot",
            BlemishKind.PinKnotCluster => "pin-knot cluster",
            BlemishKind.SpikeKnot => "spike knot",
            BlemishKind.PitchPocket => "pitch pocket",
            BlemishKind.ShakeOrSplit => "shake or split",
            BlemishKind.BoreHole => "bore hole",
            BlemishKind.DentOrGouge => "dent or gouge",
            BlemishKind.Unknown => "mark of unknown kind",
            _ => b.Kind.ToString().ToLowerInvariant(),
        };
        return $"No. {number}, {kind} ({ReasonText.Percent(b.Probability)}), diameter {ReasonText.Mm(b.DiameterMm)}";
    }
}
