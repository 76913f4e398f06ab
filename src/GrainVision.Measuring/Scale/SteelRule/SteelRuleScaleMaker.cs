using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Grading.Refusals;
using OpenCvSharp;

namespace GrainVision.Measuring.Scale.SteelRule;

/// <summary>
/// From a rule that was read to the photo's scale at the middle of the picture, where the piece most likely is, with the perspective of
/// the rule's plane.
/// </summary>
/// <remarks>
/// Terms of the uncertainty: the fit of the graduations; the fan of the graduations (<see cref="SteelRulePlane"/>); what is not known of the lens, its axis
/// above all where the photo may be cropped (<see cref="RuleOptics"/>): each moves the whole plane, and the scale at a place is asked of every moved plane
/// (<see cref="SteelRuleGeometry"/>); the rule's own graduation and its height (<see cref="ScaleUncertaintyBudget"/>).
/// </remarks>
internal static class SteelRuleScaleMaker
{
    private const string UnitAssumed =
        "The rule was read as millimetres by custom: an engineer's scale with 20 or 30 parts to the inch looks the same. State the rule's unit, or lay the printed card.";

    /// <summary>Marks for the picture.</summary>
    private const int GreatestMarks = 60;

    public static Outcome<PhotoScale> Make(Mat gray, SteelRuleReading reading, IReadOnlyList<SteelRuleReading> others, IReadOnlyList<SteelRuleReading> alike, SteelRuleUnitBasis basis)
    {
        var geometry = reading.Geometry;
        var middle = new PointPx((gray.Width - 1) / 2.0, (gray.Height - 1) / 2.0);
        var view = geometry.View;
        var atRule = geometry.TickPoints[geometry.TickPoints.Count / 2];
        if (Math.Sign(view.MmFromIdeal.Depth(view.Ideal(middle))) != Math.Sign(view.MmFromIdeal.Depth(view.Ideal(atRule))))
            return ScaleRefusals.RuleUneven();

        var pitch = geometry.PixelsPerMmAt(middle);
        double RelativeAt(PointPx p) => ScaleUncertaintyBudget.Combine(
            geometry.RelativeAt(p), ScaleUncertaintyBudget.RuleGraduation, ScaleUncertaintyBudget.OutOfPlane, alike.Select(o => Unexplained(geometry, o.Geometry, p)).DefaultIfEmpty(0).Max());

        var relative = RelativeAt(middle);
        if (!ScaleUncertaintyBudget.IsPitchBelievable(pitch) || !(relative <= PhotoScale.GreatestRelative))
            return ScaleRefusals.RuleUneven();

        var own = Measured.FromStandardUncertainty(pitch, pitch * relative);
        var marks = Thin(geometry.TickPoints);
        return new PhotoScale(
            new ScaleFinding(
                ScaleKind.Rule, own, reading.Verdict.Best.Unit,
                Math.Min(reading.Verdict.Probability, 0.999), marks) { UnitBasis = basis, Witnesses = Witnesses(reading, others, own, middle) },
            view.MmFromIdeal.RowMajor,
            [geometry.Quad])
        {
            LensFree = view.Ideal,
            RelativeAt = RelativeAt,
            LensK1 = ScaleUncertaintyBudget.Combine(view.Fit.K1, view.Fit.K1Sigma),
            Warnings = basis == SteelRuleUnitBasis.Assumed ? [new(WarningCode.RuleUnitAssumed, UnitAssumed)] : [],
        };
    }

    /// <summary>How far another row of the same rule tells another scale at a place, beyond what that row does not know: rows of one plane ought to agree everywhere.</summary>
    private static double Unexplained(SteelRuleGeometry own, SteelRuleGeometry other, PointPx p)
    {
        var (off, doubt) = (other.View.LogAt(p) - own.View.LogAt(p), other.RelativeAt(p));
        return double.IsFinite(off) && double.IsFinite(doubt) ? Math.Sqrt(Math.Max(0, (off * off) - (doubt * doubt))) : 0;
    }

    /// <summary>0.1 of a numeral's distance: how far one stands beside its graduation (standard uncertainty).</summary>
    private const double NumeralPlace = 0.1;

    private static List<ScaleWitness> Witnesses(SteelRuleReading reading, IReadOnlyList<SteelRuleReading> others, Measured own, PointPx middle)
    {
        var witnesses = new List<ScaleWitness> { new(ScaleWitnessKind.Graduations, own) };
        foreach (var other in others)
        {
            var pitch = other.Geometry.PixelsPerMmAt(middle);
            witnesses.Add(new(ScaleWitnessKind.OtherGraduations, Measured.FromStandardUncertainty(pitch, pitch * other.Geometry.RelativeAt(middle))));
        }

        foreach (var mm in (ReadOnlySpan<double>)[10, Units.MmPerInch])
        {
            if (reading.Numerals is not { } numerals || !numerals.IsAt(mm / reading.StepMm))
                continue;
            var pitch = own.Value * numerals.Pitch * reading.StepMm / mm;
            witnesses.Add(new(ScaleWitnessKind.Numerals, Measured.FromStandardUncertainty(pitch, pitch * NumeralPlace / (numerals.Count - 1))));
        }

        return witnesses;
    }

    private static PointPx[] Thin(IReadOnlyList<PointPx> points)
    {
        var every = (points.Count + GreatestMarks - 1) / GreatestMarks;
        return points.Where((_, i) => i % every == 0).ToArray();
    }
}
