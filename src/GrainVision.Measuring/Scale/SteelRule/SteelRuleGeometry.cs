using GrainVision.Grading.Quantities;
using GrainVision.Measuring.Geometry;

namespace GrainVision.Measuring.Scale.SteelRule;

/// <summary>Where a rule lies in the photo and what it says of the scale anywhere, kept after its strip is gone. Photo pixels.</summary>
/// <param name="TickPoints">The graduations.</param>
/// <param name="Quad">Outline of the rule: no wood.</param>
/// <param name="View">The likeliest plane and lens.</param>
/// <param name="Away">Planes one standard uncertainty away: each group in one respect, its members both ways.</param>
internal sealed record SteelRuleGeometry(
    IReadOnlyList<PointPx> TickPoints, IReadOnlyList<PointPx> Quad, RuleView View, IReadOnlyList<IReadOnlyList<RuleView>> Away)
{
    /// <summary>Beyond the graduations a rule goes on for a few millimetres: 8 spacings, or what the picture holds.</summary>
    private const double EndSpacings = 8;

    /// <summary>A rule is at least 6 spacings wider than its longest graduations: figures stand there.</summary>
    private const double BodySpacings = 6;

    /// <summary>A quarter of what the first term of the lens does between the row and a place: one term does not describe a lens fully. Our judgement.</summary>
    private const double LensDoubt = 0.25;

    public static SteelRuleGeometry? From(SteelRuleStrip strip, IReadOnlyList<Tick> ticks, SpacingFit fit, TickLengths lengths, double stepMm)
    {
        var index = 0.5 * (ticks[0].Index + ticks[^1].Index);
        if (ViewOf(strip.Optics, fit, 0) is not { } view)
            return null;
        var away = new List<IReadOnlyList<RuleView>>();
        foreach (var moved in fit.OneSigmaAway())
            away.Add(Known([ViewOf(strip.Optics, moved, 0)]));
        away.Add(Known([ViewOf(strip.Optics, fit, view.Plane.FanSigma), ViewOf(strip.Optics, fit, -view.Plane.FanSigma)]));
        foreach (var pair in strip.Optics.Doubts(strip.Picture))
            away.Add(Known(pair.Select(o => SpacingFit.Fit(ticks, strip.LensOf(o)) is { } other ? ViewOf(o, other, 0) : null)));
        var far = BackEdge.Find(strip, ticks, fit, lengths, BodySpacings);
        var from = fit.At(ticks[0].Index) - (EndSpacings * fit.SpacingAt(ticks[0].Index));
        var to = fit.At(ticks[^1].Index) + (EndSpacings * fit.SpacingAt(ticks[^1].Index));

        // One spacing outside the edge: its shadow and chamfer are no wood either.
        var outside = -lengths.InwardSign * strip.SpacingPx;
        var inside = lengths.InwardSign * far;
        return new SteelRuleGeometry(
            [.. ticks.Select(t => strip.ToPhoto(t.U, strip.MiddleV))],
            [
                strip.ToPhoto(from, lengths.EdgeAt(from) + outside),
                strip.ToPhoto(to, lengths.EdgeAt(to) + outside),
                strip.ToPhoto(to, lengths.EdgeAt(to) + inside),
                strip.ToPhoto(from, lengths.EdgeAt(from) + inside),
            ],
            view,
            away);

        RuleView? ViewOf(RuleOptics optics, SpacingFit f, double moreFan) =>
            SteelRulePlane.From(strip, optics, f, lengths.Shear, index, stepMm, moreFan) is { } plane ? new RuleView(optics, f, plane) : null;
    }

    /// <summary>Pixels per mm of the plane as the photo shows it at a place.</summary>
    public double PixelsPerMmAt(PointPx p) => Math.Exp(View.LogAt(p));

    /// <summary>Relative standard uncertainty of <see cref="PixelsPerMmAt"/> from the fit, the fan and the lens; infinite where the plane does not reach.</summary>
    public double RelativeAt(PointPx p)
    {
        var best = View.LogAt(p);
        var sum = 0.0;
        foreach (var group in Away)
        {
            var most = 0.0;
            foreach (var view in group)
                most = Math.Max(most, Math.Abs(view.LogAt(p) - best));
            sum += most * most;
        }

        var row = TickPoints[TickPoints.Count / 2];
        var lens = LensDoubt * 2 * View.Fit.K1 * (View.Share(View.Ideal(p)) - View.Share(View.Ideal(row)));
        var all = Math.Sqrt(sum + (lens * lens));
        return double.IsFinite(all) ? all : double.PositiveInfinity;
    }

    private static IReadOnlyList<RuleView> Known(IEnumerable<RuleView?> views) => [.. views.OfType<RuleView>()];
}
