using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;

namespace GrainVision.Grading.Verdicts;

/// <summary>
/// Sizes and distances of blemishes with intervals. The findings give lengths and places as bare numbers: here they take
/// the half-width of the blemish's own size (its rim) and the scale's share of the distance.
/// </summary>
internal static class BlemishPlace
{
    /// <summary>Extent along the piece, mm.</summary>
    internal static Measured Length(BlemishFinding b) => Around(b.LengthMm, Rim(b));

    /// <summary>Extent across the piece, mm.</summary>
    internal static Measured Width(BlemishFinding b) => Around(b.WidthMm, Rim(b));

    /// <summary>Distance of the rim to the nearest edge, mm.</summary>
    internal static Measured EdgeDistance(Measurement m, BlemishFinding b) =>
        Around(b.EdgeDistanceMm, Rim(b) + (ScaleShare(m) * Math.Abs(b.EdgeDistanceMm)));

    /// <summary>
    /// The greatest of diameter, size, length and width, mm: what an accept must survive, since a table that says
    /// "diameter" may mean the largest one. Its low end is that of the diameter, the least of them: what a reject must survive.
    /// </summary>
    internal static Measured Extent(BlemishFinding b)
    {
        Measured[] all = [b.DiameterMm, b.SizeMm, Length(b), Width(b)];
        if (!all.All(GuardedAcceptance.IsUsable) || !all.All(x => x.Value > 0))
            return default;
        return new Measured(all.Max(x => x.Value), Math.Min(b.DiameterMm.Low, all.Max(x => x.Value)), all.Max(x => x.High), b.DiameterMm.Level);
    }

    /// <summary>Distance along the piece from middle to middle, mm, 0 or more.</summary>
    internal static Measured Apart(Measurement m, BlemishFinding a, BlemishFinding b) =>
        Distance(m, a, b, Math.Abs(a.AlongMm - b.AlongMm));

    /// <summary>Distance in a straight line from middle to middle, mm, 0 or more; never less than along the piece.</summary>
    internal static Measured StraightApart(Measurement m, BlemishFinding a, BlemishFinding b) =>
        Distance(m, a, b, Math.Sqrt(Math.Pow(a.AlongMm - b.AlongMm, 2) + Math.Pow(a.AcrossMm - b.AcrossMm, 2)));

    /// <summary>Accept: wholly inside the middle share of the face's width; reject: wholly outside; hold: neither is sure.</summary>
    internal static VerdictOutcome InMiddle(Measurement m, BlemishFinding b, double middleShare)
    {
        if (m.Size is not { } size || !GuardedAcceptance.IsUsable(size.SecondSideMm) || !(size.SecondSideMm.Value > 0))
            return VerdictOutcome.Hold;
        var border = size.SecondSideMm.Scale((1 - middleShare) / 2);
        // Distance of the rim from each edge, the nearer one: from the place across, and as the finder gave it. They must agree.
        var across = Math.Min(b.AcrossMm, size.SecondSideMm.Value - b.AcrossMm);
        var near = Around(across - (b.WidthMm / 2), Rim(b) + Half(size.SecondSideMm));
        var far = Around(across + (b.WidthMm / 2), Rim(b) + Half(size.SecondSideMm));
        var edge = EdgeDistance(m, b);
        if (!GuardedAcceptance.IsUsable(near) || !GuardedAcceptance.IsUsable(edge))
            return VerdictOutcome.Hold;
        if (near.Low >= border.High && edge.Low >= border.High)
            return VerdictOutcome.Accept;
        return far.High < border.Low && edge.High < border.Low ? VerdictOutcome.Reject : VerdictOutcome.Hold;
    }

    /// <summary>Half-width of the rim's uncertainty, mm; infinite where the finding's own intervals are unusable.</summary>
    internal static double Rim(BlemishFinding b) => GuardedAcceptance.IsUsable(b.DiameterMm) && GuardedAcceptance.IsUsable(b.SizeMm)
        ? Math.Max(Half(b.DiameterMm), Half(b.SizeMm))
        : double.PositiveInfinity;

    private static double ScaleShare(Measurement m) => GuardedAcceptance.IsUsable(m.Scale.PixelsPerMm) && m.Scale.PixelsPerMm.Value > 0
        ? Half(m.Scale.PixelsPerMm) / m.Scale.PixelsPerMm.Value
        : double.PositiveInfinity;

    private static Measured Distance(Measurement m, BlemishFinding a, BlemishFinding b, double mm) =>
        Around(mm, Rim(a) + Rim(b) + (ScaleShare(m) * mm));

    private static double Half(Measured m) => Math.Max(m.High - m.Value, m.Value - m.Low);

    private static Measured Around(double value, double half) => new(value, value - half, value + half);
}
