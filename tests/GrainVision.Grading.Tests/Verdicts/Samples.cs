using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Grading.Rules;
using GrainVision.Grading.Verdicts;

namespace GrainVision.Grading.Tests.Verdicts;

/// <summary>Measurements of an invented piece that every book of Sitka spruce accepts until a test spoils one finding.</summary>
internal static class Samples
{
    internal const double WidthMm = 150;

    internal static RuleBook Spar => Book("spar");

    internal static RuleBook Book(string id) => RuleBookSet.Embedded.TryGet(id, out var book) ? book : throw new InvalidOperationException(id);

    internal static Verdict Judged(this Measurement m, string book = "spar") => PhotoJudge.GiveVerdict(m, Book(book));

    internal static Reason Of(this Verdict v, string limitId) => v.Reasons.First(r => r.LimitId == limitId);

    internal static Measurement End(Measured? worst = null, Measured? mean = null, RingAngleFinding? angle = null, string? species = "sitka-spruce") => Base(View.End, species) with
    {
        Size = new SectionSize(Measured.Exact(WidthMm), Measured.Exact(50)),
        Rings = new RingFinding(20, mean ?? worst ?? About(11, 0.3), worst ?? About(10.6, 0.3), About(2.3, 0.1), About(0.3, 0.05),
            [new PointPx(10, 250), new PointPx(1490, 250)], []),
        RingAngle = angle ?? Angle(80, 0.5),
    };

    /// <summary>A face; one read from streaks has been confirmed by a person, so that what is tested is the limit.</summary>
    internal static Measurement Face(Measured? slope = null, GrainBasis basis = GrainBasis.FibreStreaks, string? species = "sitka-spruce", params IReadOnlyList<BlemishFinding> blemishes)
    {
        var s = slope ?? About(0.01, 0.005);
        return Base(View.Face, species) with
        {
            Size = new SectionSize(Measured.Exact(1500), Measured.Exact(WidthMm)),
            Grain = new GrainFinding(s, OneIn.From(s), s, basis, []) { OuterEighths = s, ByHand = basis == GrainBasis.FibreStreaks },
            Blemishes = blemishes,
        };
    }

    internal static Measured About(double value, double half) => new(value, value - half, value + half);

    internal static RingAngleFinding Angle(double degrees, double half, double? least = null, double? greatest = null, PithFinding? pith = null) => new(
        About(degrees, half).ClampTo(0, 90), least ?? degrees, greatest ?? degrees, CutClass.From(degrees), pith);

    /// <summary>A sure knot in the middle of the face, every size its diameter.</summary>
    internal static BlemishFinding Knot(double diameterMm, double alongMm = 700, double acrossMm = WidthMm / 2, double half = 0, double probability = 1, BlemishKind kind = BlemishKind.Knot) =>
        Mark(kind, diameterMm, diameterMm, alongMm, acrossMm, half, probability);

    internal static BlemishFinding Mark(
        BlemishKind kind, double lengthMm, double widthMm, double alongMm = 700, double acrossMm = WidthMm / 2, double half = 0, double probability = 1) => new(
        kind, probability, new PointPx(alongMm * 10, acrossMm * 10), About(widthMm, half), About(Math.Min(lengthMm, widthMm), half), lengthMm, widthMm,
        Math.Max(0, Math.Min(acrossMm, WidthMm - acrossMm) - (widthMm / 2)), [])
    {
        AlongMm = alongMm,
        AcrossMm = acrossMm,
        EdgeSlope = About(0.01, 0.005),
    };

    private static Measurement Base(View view, string? species) => new()
    {
        View = view,
        Species = species,
        Photo = new PhotoFinding(new string('a', 64), 2000, 1600),
        PipelineVersion = "test",
        Scale = new ScaleFinding(ScaleKind.Card, Measured.Exact(10)),
        Outline = [new PointPx(0, 0), new PointPx(1500, 0), new PointPx(1500, 500), new PointPx(0, 500)],
    };
}
