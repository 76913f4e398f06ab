using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;

namespace GrainVision.Grading.Verdicts;

/// <summary>Where a blemish lies on its face, with intervals taken from its size's own.</summary>
internal static class BlemishPlace
{
    /// <summary>A length without its own interval gets the blemish's: both come from the same rim.</summary>
    internal static Measured WithIntervalOf(double mm, Measured like) =>
        new(mm, Math.Max(0, mm - (like.Value - like.Low)), mm + (like.High - like.Value), like.Level);

    /// <summary>
    /// Whether the whole blemish lies in the middle share of the face's width. Hold where the width is not known.
    /// </summary>
    internal static VerdictOutcome InMiddle(Measurement m, BlemishFinding b, double share)
    {
        if (m.Size?.SecondSideMm is not { } width || !DecisionRule.IsUsable(width))
            return VerdictOutcome.Hold;
        var off = Math.Abs(b.AcrossMm - (width.Value / 2)) + (b.WidthMm / 2);
        return DecisionRule.AtMost(WithIntervalOf(off, b.SizeMm), share * width.Value / 2);
    }

    /// <summary>Distance along the piece, centre to centre, to the nearest other blemish; null where there is none.</summary>
    internal static Measured? ToNext(Measurement m, BlemishFinding b, Func<BlemishFinding, bool> which)
    {
        var others = m.Blemishes.Where(o => !ReferenceEquals(o, b) && which(o)).Select(o => Math.Abs(o.AlongMm - b.AlongMm)).ToList();
        return others.Count == 0 ? null : WithIntervalOf(others.Min(), b.SizeMm);
    }
}
