using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Grading.Refusals;
using GrainVision.Grading.Rules;
using GrainVision.Measuring;
using GrainVision.Measuring.Intake;

namespace GrainVision.Accuracy.Real;

/// <summary>One real picture through the whole product: outline and pitch are told, since no source states a scale.</summary>
internal static class RealJob
{
    /// <summary>6 px/mm: boards about 140 mm wide (fixtures/surfaces/README.md; an assumption).</summary>
    public const double FacePitch = 6;

    /// <summary>8 px/mm: assumed of the plates.</summary>
    public const double SectionPitch = 8;

    /// <summary>85°: what is told of the rings of a quarter-sawn section; its plate says only quarter-sawn.</summary>
    public const double QuarterSawnDeg = 85;

    private static readonly RuleBook? Spar = RuleBookSet.Embedded.TryGet("spar", out var book) ? book : null;

    public static Outcome<Measurement> Run(byte[] file, View view, IReadOnlyList<PointPx> outline, double pitch, double? ringAngleDeg = null) => MeasureJob.Run(
        file, new MeasuringRequest { View = view, Outline = outline, Scale = new PitchScale(pitch), RingAngleDegrees = ringAngleDeg },
        Spar, IntakeLimits.Default, CancellationToken.None);

    public static bool IsCrack(BlemishFinding mark) => mark.Kind is BlemishKind.Check or BlemishKind.ShakeOrSplit;

    /// <summary>Probability that a mark is a crack of either kind.</summary>
    public static double CrackProbability(BlemishFinding mark) =>
        mark.Kinds is { } kinds ? kinds.Where(k => k.Kind is BlemishKind.Check or BlemishKind.ShakeOrSplit).Sum(k => k.Probability) : IsCrack(mark) ? mark.Probability : 0;

    /// <summary>Left, top, right, bottom of an outline, px.</summary>
    public static double[] Box(IEnumerable<PointPx> outline)
    {
        var points = outline.ToList();
        return [points.Min(p => p.X), points.Min(p => p.Y), points.Max(p => p.X), points.Max(p => p.Y)];
    }

    public static bool Touch(double[] a, double[] b, double margin = 0) =>
        a[0] <= b[2] + margin && a[2] >= b[0] - margin && a[1] <= b[3] + margin && a[3] >= b[1] - margin;
}
