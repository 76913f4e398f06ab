using GrainVision.Grading.Quantities;

namespace GrainVision.Measuring.Orientation;

/// <summary>Direction of the rings at the middle and its uncertainty, from the field over the whole section and the rings at the middle itself.</summary>
/// <remarks>
/// Calibrated by split conformal prediction (V. Vovk, A. Gammerman, G. Shafer, "Algorithmic Learning in a Random World", 2005, doi 10.1007/b106715): the shape of
/// the uncertainty from what can be seen, its size so that 95 % of the errors of drawn ends lie inside (figures: tools/GrainVision.Accuracy/RESULTS.md).
/// </remarks>
internal static class CentreDirection
{
    /// <summary>
    /// 0.6, 0.36, 0.72: shares of the scatter of the cells about the field, of the difference between field and middle, and of the field's jackknife
    /// deviation that make the standard uncertainty; 0.04° is left on the best ends.
    /// </summary>
    private const double BySpread = 0.6;
    private const double ByDifference = 0.36;
    private const double ByJackknife = 0.72;
    private const double LeastDeg = 0.04;

    /// <summary>0.7: share of how the parts of the middle disagree, where it is trusted.</summary>
    private const double ByTangent = 0.7;

    /// <summary>2 scatters, or 0.3°: rings wave about their field by so much; more is a knot or a stamp in the middle, and then the field is right.</summary>
    private const double MostSpreads = 2;
    private const double MostDeg = 0.3;

    /// <summary>0.4: where less of the figure runs along the lines found, the middle shows no rings.</summary>
    private const double LeastSemblance = 0.4;

    /// <summary>0.021 (1.2°): rings that scatter more lie round a pith or among knots; there errors were up to six scatters, not one.</summary>
    private const double UsualSpreadRad = 0.021;
    private const double UnusualFactor = 3;

    public static (double NormalRad, double UncertaintyRad) Compute(double fieldRad, double spreadRad, double jackknifeRad, CentreOrientation? tangent)
    {
        var difference = tangent is null ? 0 : Math.Abs(Math.IEEERemainder(tangent.NormalRad - fieldRad, Math.PI));
        var trusted = tangent is not null && tangent.Semblance >= LeastSemblance && difference <= Math.Max(Units.DegToRad(MostDeg), MostSpreads * spreadRad);
        var u = Math.Sqrt(
            Math.Pow(Units.DegToRad(LeastDeg), 2) + Math.Pow(BySpread * spreadRad, 2) + Math.Pow(ByDifference * difference, 2) + Math.Pow(ByJackknife * jackknifeRad, 2)
            + (trusted ? Math.Pow(ByTangent * tangent!.UncertaintyRad, 2) : 0));
        return (trusted ? tangent!.NormalRad : fieldRad, spreadRad > UsualSpreadRad ? UnusualFactor * u : u);
    }
}
