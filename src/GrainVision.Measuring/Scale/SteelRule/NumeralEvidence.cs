using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;

namespace GrainVision.Measuring.Scale.SteelRule;

/// <summary>How well a row's numerals fit a division: their pitch, and their height where it is one of the division's own numerals.</summary>
internal static class NumeralEvidence
{
    /// <summary>2.8 mm: height of numerals, as a log-normal with a factor of 1.45: common practice, no source.</summary>
    private const double UsualNumeralMm = 2.8;
    private const double UsualNumeralSpread = 0.37;
    private const double NumeralOutliers = 0.02;

    /// <summary>Of what is no numeral of this rule the height says nothing.</summary>
    private const double ElsewhereNumeralHeight = 0.2;

    /// <summary>Two numbers make one distance, which chance may make as well.</summary>
    private const double PairOutliers = 0.2;

    /// <summary>Six numerals and more at one pitch with nothing between them are hardly another row's; twelve even less.</summary>
    private const int ManyNumerals = 6;
    private const double ManyNumeralOutliers = 0.001;

    /// <summary>
    /// Numerals stand where the longest graduations are: at every tenth millimetre or every inch; those of the other edge may be seen instead. What they say is wrong one time in fifty: another edge's
    /// numerals, or every second one lost.
    /// </summary>
    public static double LogWeight(Graduation g, RuleNumerals? numerals)
    {
        if (g.Unit is null || numerals is null)
            return 0;
        var other = g.Unit == SteelRuleUnit.Mm ? Units.MmPerInch : 10;
        var outliers = numerals.Count >= 2 * ManyNumerals ? ManyNumeralOutliers * ManyNumeralOutliers : numerals.Count >= ManyNumerals ? ManyNumeralOutliers : numerals.Count == 2 ? PairOutliers : NumeralOutliers;
        var fits = numerals.MayBeAt(g.MajorGraduations) ? 1 : numerals.MayBeAt(other / g.StepMm) ? 0.3 : outliers;
        if (fits == outliers)
            return Math.Log(outliers * ElsewhereNumeralHeight);
        if (double.IsNaN(numerals.HeightSpacings))
            return Math.Log(fits * ElsewhereNumeralHeight);
        var z = Math.Log(numerals.HeightSpacings * g.StepMm / UsualNumeralMm) / UsualNumeralSpread;
        return Math.Log(fits * ((0.9 * Math.Exp(-0.5 * z * z)) + (0.1 * ElsewhereNumeralHeight)));
    }
}
