using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;

namespace GrainVision.Synthesis;

/// <summary>Says what a scene truly shows.</summary>
public static class GroundTruth
{
    public static PhotoTruth Tell(Scene scene)
    {
        ArgumentNullException.ThrowIfNull(scene);
        var end = scene.View == View.End;
        var rings = end ? EndGroundTruth.Rings(scene) : null;
        var (outline, cut) = SurfaceOutline.Of(scene);
        var perMm = ScalePxPerMm(scene);
        var widest = rings is { WidthsMm.Count: > 0 } ? rings.MeanWidthMm : MeanRingMm(scene);
        var narrowest = rings is { WidthsMm.Count: > 0 } ? rings.WidthsMm.Min() : widest;
        return new PhotoTruth
        {
            Seed = scene.Seed,
            View = scene.View,
            Species = scene.Species,
            Photo = new PhotoSize(scene.Camera.WidthPx, scene.Camera.HeightPx),
            Outline = outline,
            OutlineCutByPhoto = cut,
            SizeMm = new SizeTruth(scene.Size1Mm, scene.Size2Mm, scene.DepthMm),
            Scale = new ScaleTruth(perMm, scene.Camera.PxFromSurface().RowMajor, scene.Camera.K1, scene.ScaleProp, scene.Rule?.Unit, PropOutline(scene)),
            Rings = rings,
            RingAngle = end ? EndGroundTruth.Angle(scene) : null,
            Grain = end ? null : FaceGroundTruth.Grain(scene),
            Blemishes = FeatureGroundTruth.Blemishes(scene),
            NonBlemishes = FeatureGroundTruth.Harmless(scene),
            Conditions = new Conditions(
                scene.Difficulty,
                widest * perMm,
                narrowest * perMm,
                scene.Optics.BlurSigmaPx,
                scene.Optics.MotionPx,
                scene.Optics.NoiseLevels,
                Units.RadToDeg(scene.Camera.TiltRad),
                Units.RadToDeg(scene.Camera.RotationRad),
                scene.Optics.Glare,
                end ? scene.EndFinish.SawMarks : scene.FaceFinish.SawMarks,
                scene.Optics.JpegQuality,
                scene.Bench),
        };
    }

    /// <summary>Root of the area scale at the middle of the surface, px per mm, lens distortion included.</summary>
    internal static double ScalePxPerMm(Scene scene)
    {
        const double h = 0.5;
        var x = (scene.Camera.Project(new Vec3(h, 0, 0)) - scene.Camera.Project(new Vec3(-h, 0, 0))) * (1 / (2 * h));
        var y = (scene.Camera.Project(new Vec3(0, h, 0)) - scene.Camera.Project(new Vec3(0, -h, 0))) * (1 / (2 * h));
        return Math.Sqrt(Math.Abs((x.X * y.Y) - (x.Y * y.X)));
    }

    private static double MeanRingMm(Scene scene)
    {
        var u = scene.Log.RadiusAt(scene.Surface.Origin);
        var k = scene.Rings.IndexAt(u);
        int from = Math.Max(0, k - 8), to = Math.Min(scene.Rings.Count, k + 8);
        return (scene.Rings.Radii[to] - scene.Rings.Radii[from]) / (to - from);
    }

    private static List<PointPx>? PropOutline(Scene scene) => scene.Prop is { } at
        ? [.. ScenePainter.PropCorners(at, scene.PropLengthMm, scene.PropWidthMm).Select(p => scene.Camera.Project(new Vec3(p.X, p.Y, 0)))]
        : null;
}
