using GrainVision.Grading.Quantities;
using GrainVision.Measuring.Geometry;

namespace GrainVision.Measuring.Scale.SteelRule;

/// <summary>
/// The plane that a rule lies in, as the camera sees it. Along the rule perspective shows in the spacing; across it in how the
/// graduations, all parallel on the rule, fan out in the picture. Together they give the horizon, and so the scale beside the rule.
/// </summary>
/// <param name="PxFromMm">Millimetres along the rule and across it to pixels of the photo, free of lens distortion.</param>
/// <param name="FanSigma">Standard uncertainty of the fan: change of direction per photo px along the row.</param>
/// <remarks>R. Hartley and A. Zisserman, Multiple View Geometry in Computer Vision, 2nd ed. 2004, section 8.6 (vanishing points).</remarks>
internal sealed record SteelRulePlane(Homography PxFromMm, double FanSigma)
{
    /// <summary>12 degrees: how square to the rule people hold a phone (our judgement, no source). It holds the fan of rules too short or too small to show one.</summary>
    private const double HandTiltDeg = 12;

    /// <param name="strip">Where the row was cut.</param>
    /// <param name="optics">The lens.</param>
    /// <param name="fit">Spacing along the row, strip px.</param>
    /// <param name="shear">How the graduations lean.</param>
    /// <param name="index">The number taken as 0 mm.</param>
    /// <param name="stepMm">From one graduation to the next.</param>
    /// <param name="moreFan">Added to the fan, per photo px along the row: to see what it does.</param>
    /// <returns>Null where the numbers make no plane.</returns>
    public static SteelRulePlane? From(SteelRuleStrip strip, RuleOptics optics, SpacingFit fit, TickShear shear, double index, double stepMm, double moreFan = 0)
    {
        var focal = optics.FocalPx;
        var scale = strip.PhotoPxPerStripPx;

        // The lens turns a line across the row by 2 k1 x y / R^2.
        var lens = fit.Lens;
        var perK1 = 2 * lens.OffsetV / (lens.Radius * lens.Radius);
        var seen = shear.Slope - (fit.K1 * perK1);
        var sigma = ScaleUncertaintyBudget.Combine(shear.SlopeSigma, fit.K1Sigma * perK1);
        var usual = Math.Tan(Units.DegToRad(HandTiltDeg)) / (focal / scale);
        var trust = double.IsFinite(sigma) ? usual * usual / ((usual * usual) + (sigma * sigma)) : 0;
        var fan = (trust * seen) + (moreFan * scale);

        // What is measured at the row's middle stays there.
        var lean = shear.Offset + ((shear.Slope - fan) * shear.MeanU);
        var (point, step, depth) = fit.Projective(index);
        var v = strip.MiddleV;
        var row = new Homography(
        [
            step / stepMm, lean, point,
            v * depth / stepMm, 1 - (fan * v), v,
            depth / stepMm, -fan, 1,
        ]);
        var px = strip.PhotoFromStrip.After(row);
        if (Square(px, optics) is not { } across)
            return null;
        var full = px.After(new Homography([1, 0, 0, 0, across, 0, 0, 0, 1]));
        return new SteelRulePlane(full, (double.IsFinite(sigma) ? Math.Sqrt(trust) * sigma : usual) / scale);
    }

    /// <summary>How many units across make as much as one along: both are millimetres at the camera's focal length. Negative where the map would mirror.</summary>
    private static double? Square(Homography px, RuleOptics optics)
    {
        var m = px.RowMajor;
        var (cx, cy) = (optics.Axis.X, optics.Axis.Y);
        var focal = optics.FocalPx;
        double Length(int column) => ScaleUncertaintyBudget.Combine(
            (m[column] - (cx * m[6 + column])) / focal, (m[3 + column] - (cy * m[6 + column])) / focal, m[6 + column]);
        var ratio = Length(0) / Length(1);
        return double.IsFinite(ratio) && ratio > 0 && px.Determinant != 0 ? ratio * Math.Sign(px.Determinant) : null;
    }
}
