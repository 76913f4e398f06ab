using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Measuring.Angle;
using GrainVision.Measuring.Blemishes;
using GrainVision.Measuring.Orientation;
using GrainVision.Measuring.Scale;
using GrainVision.Measuring.Section;
using OpenCvSharp;

namespace GrainVision.Trainer;

/// <summary>A labelled surface after the product's own blemish stage has looked at it.</summary>
/// <param name="Face">The surface.</param>
/// <param name="Candidates">What was found odd.</param>
/// <param name="Features">One row a candidate.</param>
/// <param name="Labels">What each candidate truly is.</param>
internal sealed record LookedAt(LabelledFace Face, IReadOnlyList<BlemishCandidate> Candidates, IReadOnlyList<float[]> Features, IReadOnlyList<Label> Labels)
{
    /// <summary>Null where the product would not look for blemishes: an end without rings to follow.</summary>
    public static LookedAt? At(LabelledFace face)
    {
        using var photo = face.Photo();
        var scale = PhotoScale.Uniform(new ScaleFinding(ScaleKind.Pitch, Measured.Exact(face.PixelsPerMm)));
        var plane = SurfaceFrame.Create(face.Corners, scale);
        using var raster = RectifiedSurface.Resample(photo, plane, face.FinestPitch, 4e6);
        Func<Point2d, double> line;
        Func<Point2d, double> bend = _ => 0;
        if (face.View == View.Face)
        {
            line = new FaceLines(raster).At;
        }
        else
        {
            using var fine = RectifiedSurface.Resample(photo, plane, 14, 3e6);
            if (RingFieldStage.Fit(fine) is not { } fit)
                return null;
            line = p => fit.Field.NormalRad(p) + (Math.PI / 2);
            bend = p => fit.Field.BendPerMm(p);
        }

        var (candidates, features) = BlemishStage.Look(photo, raster, face.View, line, bend);
        return new LookedAt(face, candidates, features, Labeller.Label(raster, candidates, face.Blemishes));
    }
}
