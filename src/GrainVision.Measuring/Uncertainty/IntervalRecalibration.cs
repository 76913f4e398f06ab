using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Measuring.Surfaces;

namespace GrainVision.Measuring.Uncertainty;

/// <summary>Puts a calibration on every interval of an answer. Values stay; only their intervals move.</summary>
internal static class IntervalRecalibration
{
    /// <summary>0.0001 per mm: rings of 10 m radius; the pith of a straighter field is only known to lie farther than that.</summary>
    private const double StraightPerMm = 0.0001;

    /// <summary>0.01: however doubtful, there are some rings: their width keeps an upper end.</summary>
    private const double LeastShare = 0.01;

    public static Measurement Apply(Measurement m, IntervalCalibration calibration, bool ringAngleTold)
    {
        var conditions = new PhotoConditions(m, ringAngleTold);
        double Factor(CalibratedQuantity q) => calibration.FactorOf(q, conditions);
        var sides = Factor(CalibratedQuantity.Sides);
        var knot = Factor(CalibratedQuantity.KnotSize);
        return m with
        {
            Scale = m.Scale with { PixelsPerMm = Stretch(m.Scale.PixelsPerMm, Factor(CalibratedQuantity.Scale)).ClampTo(0, double.MaxValue) },
            Size = m.Size is { } s ? new SectionSize(Length(s.FirstSideMm, sides), Length(s.SecondSideMm, sides)) : null,
            Rings = m.Rings is { } rings ? Rings(rings, Factor) : null,
            RingAngle = m.RingAngle is { } angle ? Angle(angle, Factor) : null,
            Grain = m.Grain is { } grain ? Grain(grain, Factor(CalibratedQuantity.Slope), Factor(CalibratedQuantity.WindowSlope)) : null,
            Blemishes = [.. m.Blemishes.Select(b => Knot(b, knot))],
            DismissedMarks = [.. m.DismissedMarks.Select(b => Knot(b, knot))],
        };
    }

    /// <summary>Both halves of an interval times a factor.</summary>
    public static Measured Stretch(Measured m, double factor) =>
        m with { Low = m.Value - (factor * (m.Value - m.Low)), High = m.Value + (factor * (m.High - m.Value)) };

    /// <summary>Stretches a distance as its inverse.</summary>
    public static Measured StretchInverse(Measured m, double factor)
    {
        var curvature = Stretch(new Measured(1 / m.Value, 1 / m.High, 1 / m.Low), factor);
        return new Measured(m.Value, 1 / curvature.High, 1 / Math.Max(Math.Min(StraightPerMm, 1 / m.Value), curvature.Low), m.Level);
    }

    private static Measured Length(Measured m, double factor) => Stretch(m, factor).ClampTo(0, double.MaxValue);

    private static RingFinding Rings(RingFinding r, Func<CalibratedQuantity, double> factor)
    {
        var perInch = Rings(r.PerInch, factor(CalibratedQuantity.RingsPerInch));
        return r with
        {
            PerInch = perInch,
            MeanWidthMm = r.MeanWidthMm with { Low = Units.MmPerInch / perInch.High, High = Units.MmPerInch / perInch.Low },
            WorstInch = Rings(r.WorstInch, factor(CalibratedQuantity.WorstInch)),
            LatewoodShare = Stretch(r.LatewoodShare, factor(CalibratedQuantity.LatewoodShare)).ClampTo(0, 1),
        };
    }

    private static Measured Rings(Measured perInch, double factor) => Stretch(perInch, factor).ClampTo(LeastShare * perInch.Value, double.MaxValue);

    private static RingAngleFinding Angle(RingAngleFinding a, Func<CalibratedQuantity, double> factor) => a with
    {
        Degrees = Stretch(a.Degrees, factor(CalibratedQuantity.RingAngle)).ClampTo(0, 90),
        Pith = a.Pith is { } pith ? pith with { DistanceMm = StretchInverse(pith.DistanceMm, factor(CalibratedQuantity.PithDistance)) } : null,
    };

    private static GrainFinding Grain(GrainFinding g, double overall, double window)
    {
        var slope = Stretch(g.Slope, overall);
        return g with
        {
            Slope = slope,
            OneIn = OneIn.From(slope),
            WorstWindow = Stretch(g.WorstWindow, window),
            OuterEighths = g.OuterEighths is { } outer ? Stretch(outer, window) : null,
            Along = g.Along is { } along ? [.. along.Select(w => w with { Slope = Stretch(w.Slope, window) })] : null,
        };
    }

    private static BlemishFinding Knot(BlemishFinding b, double factor) =>
        BlemishKinds.IsKnot(b.Kind) ? b with { SizeMm = Length(b.SizeMm, factor), DiameterMm = Length(b.DiameterMm, factor) } : b;
}
