using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Grading.Rules;
using GrainVision.Grading.Verdicts;
using GrainVision.Synthesis;

namespace GrainVision.Accuracy;

/// <summary>The verdict that the truth itself would get: the judge's own rules on exact numbers. Only its rejects are used.</summary>
internal static class TruthVerdict
{
    /// <summary>Limits of the book that this surface truly breaks.</summary>
    public static IReadOnlyList<Reason> Broken(PhotoTruth truth, RuleBook book) =>
        [.. PhotoJudge.GiveVerdict(AsMeasurement(truth), book).Reasons.Where(r => r.Outcome == VerdictOutcome.Reject)];

    /// <summary>
    /// True where the truth lies further beyond the limit than half of the interval that was stated, or where the limit knows no number
    /// (a crack, a boxed pith): such a piece must never be accepted.
    /// </summary>
    public static bool BeyondStated(Reason broken, Verdict given)
    {
        if (broken.Measured is not { } truth || broken.Limit is not { } limit)
            return true;
        var stated = given.Reasons.FirstOrDefault(r => r.LimitId == broken.LimitId && r.Measured is not null)?.Measured;
        return stated is not { } interval || Math.Abs(truth.Value - limit) > Math.Max(interval.High - interval.Value, interval.Value - interval.Low);
    }

    /// <summary>What a photo that leaves nothing in doubt would give.</summary>
    public static Measurement AsMeasurement(PhotoTruth t) => new()
    {
        View = t.View,
        Species = t.Species,
        Photo = new PhotoFinding("", t.Photo.Width, t.Photo.Height),
        PipelineVersion = "truth",
        Scale = new ScaleFinding(ScaleKind.Pitch, Measured.Exact(t.Scale.PixelsPerMm)),
        Outline = t.Outline,
        Size = new SectionSize(Measured.Exact(t.SizeMm.First), Measured.Exact(t.SizeMm.Second)),
        Rings = t.Rings is { } r
            ? new RingFinding(r.Count, Measured.Exact(r.PerInch), Measured.Exact(Math.Min(r.WorstInch, r.PerInch)), Measured.Exact(r.MeanWidthMm), Measured.Exact(r.LatewoodShare), r.Path, r.Boundaries)
            : null,
        RingAngle = t.RingAngle is { } a
            ? new RingAngleFinding(Measured.Exact(a.Degrees), a.Least, a.Greatest, a.Cut, new PithFinding(a.Pith.X, a.Pith.Y, Measured.Exact(a.PithDistanceMm)) { Boxed = a.Boxed })
            : null,
        Grain = t.Grain is { } g
            ? new GrainFinding(Measured.Exact(g.Slope), OneIn.From(Measured.Exact(g.Slope)), Measured.Exact(g.WorstWindow), GrainBasis.FibreStreaks, [])
            : null,
        Blemishes = [.. t.Blemishes.Select(b => new BlemishFinding(
            b.Kind, 1, b.Centre, Measured.Exact(b.SizeMm), Measured.Exact(b.DiameterMm), b.LengthMm, b.WidthMm, b.EdgeDistanceMm, b.Outline) { AlongMm = b.AlongMm, AcrossMm = b.AcrossMm })],
    };
}
