using GrainVision.Grading.Findings;
using GrainVision.Grading.Pieces;
using GrainVision.Grading.Quantities;
using GrainVision.Grading.Rules;

namespace GrainVision.Synthesis;

/// <summary>The truth as a measurement without any doubt, so that the product's own judge can be asked what exact numbers come to.</summary>
public static class TruthMeasurement
{
    /// <summary>What a photo that leaves nothing in doubt would give.</summary>
    public static Measurement From(PhotoTruth t) => new()
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

    /// <summary>What a whole piece truly breaks: the rejects of the judge on exact numbers. Its holds are of what no photo says, and count for nothing.</summary>
    public static IReadOnlyList<Reason> Broken(GrainVision.Grading.Pieces.Piece piece, IReadOnlyList<(PhotoPlace Place, PhotoTruth Truth)> photos, RuleBook book)
    {
        ArgumentNullException.ThrowIfNull(book);
        List<PlacedMeasurement> placed =
        [
            .. photos.Select((p, i) => new PlacedMeasurement(p.Place, From(p.Truth) with { Photo = new PhotoFinding($"truth {i}", p.Truth.Photo.Width, p.Truth.Photo.Height) })),
        ];
        return [.. PieceAssessment.From(piece, placed, []).GiveVerdict(book).Reasons.Where(r => r.Outcome == VerdictOutcome.Reject)];
    }
}
