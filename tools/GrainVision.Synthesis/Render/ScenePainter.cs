using GrainVision.Grading.Findings;

namespace GrainVision.Synthesis;

/// <summary>Paints a scene in linear light, before the camera spoils it.</summary>
internal static class ScenePainter
{
    /// <summary>Interleaved B, G, R floats, rows from the top.</summary>
    public static float[] Paint(Scene scene, ClassMask? mask = null)
    {
        return Paint(scene.Camera, Layers(scene, mask));
    }

    /// <summary>A printed sheet on the bench, instead of wood: what lies beside it is that of the scene.</summary>
    /// <param name="scene">Camera, light, bench and rule.</param>
    /// <param name="sheet">As printed.</param>
    /// <param name="x">Where its top-left corner lies, mm of the surface.</param>
    /// <param name="y">Where its top-left corner lies, mm of the surface.</param>
    public static float[] PaintSheet(Scene scene, Picture sheet, double x, double y)
    {
        double width = sheet.Width / sheet.PixelsPerMm, height = sheet.Height / sheet.PixelsPerMm;
        List<Layer> layers =
        [
            new BenchLayer(scene, scene.Camera.PxFromSurface(), [Shadow(scene, [(x, y), (x + width, y), (x + width, y + height), (x, y + height)], 2, 0.4)]),
            new PrintLayer(PropMap(scene.Camera, new PropPlacement(x, y, 0)), sheet, width, height),
        ];
        if (scene.Rule is { } r && scene.Prop is { } p && scene.RuleLook is { } look)
            layers.Add(new RuleLayer(PropMap(scene.Camera, p), r, look, new Gloss(scene.Optics, scene.Camera, 2.2), ScaleAtMiddle(scene.Camera)));
        return Paint(scene.Camera, layers);
    }

    private static float[] Paint(Camera camera, List<Layer> layers)
    {
        var image = new float[camera.WidthPx * camera.HeightPx * 3];
        var block = new Block();
        var scratch = new float[block.Bgr.Length];
        for (var y0 = 0; y0 < camera.HeightPx; y0 += Block.Size)
        {
            for (var x0 = 0; x0 < camera.WidthPx; x0 += Block.Size)
            {
                block.MoveTo(camera, x0, y0);
                var first = layers.Count - 1;
                while (first > 0 && !layers[first].Hides(block))
                    first--;
                for (var i = first; i < layers.Count; i++)
                    layers[i].Paint(block, scratch);
                for (var row = 0; row < block.Height; row++)
                    block.Bgr.AsSpan(row * Block.Size * 3, block.Width * 3).CopyTo(image.AsSpan((((y0 + row) * camera.WidthPx) + x0) * 3));
            }
        }

        return image;
    }

    private static List<Layer> Layers(Scene scene, ClassMask? mask)
    {
        double hx = scene.Size1Mm / 2, hy = scene.Size2Mm / 2;
        // An end is seen against whatever lies a hand's breadth behind it, a face against the bench that it lies on.
        var benchDepth = scene.View == View.End ? 25 : scene.DepthMm;
        List<ShadowCaster> shadows = [Shadow(scene, [(-hx, -hy), (hx, -hy), (hx, hy), (-hx, hy)], scene.View == View.End ? 9 : scene.DepthMm * 0.35, 0.55)];
        if (scene.Prop is { } at)
            shadows.Add(Shadow(scene, PropCorners(at, scene.PropLengthMm, scene.PropWidthMm), 2, 0.45));
        List<Layer> layers = [new BenchLayer(scene, scene.Camera.PxFromPlane(new Vec3(0, 0, benchDepth), new Vec3(1, 0, 0), new Vec3(0, 1, 0)), shadows)];
        var rings = new RingTable(scene.Rings, scene.Look.Species, RadiusRange(scene).Least - 2, RadiusRange(scene).Greatest + 2);
        AddSides(scene, rings, layers);
        layers.Add(new WoodLayer(scene, scene.Surface, scene.Camera.PxFromSurface(), [(-hx, -hy), (hx, -hy), (hx, hy), (-hx, hy)], rings, 1, scene.Features, mask));
        if (scene.Rule is { } r && scene.Prop is { } p && scene.RuleLook is { } look)
            layers.Add(new RuleLayer(PropMap(scene.Camera, p), r, look, new Gloss(scene.Optics, scene.Camera, 2.2), ScaleAtMiddle(scene.Camera)));
        if (scene.ScaleProp == ScaleProp.Card && scene.Prop is { } card)
            layers.Add(CardLayer.Of(PropMap(scene.Camera, card), scene.Card, ScaleAtMiddle(scene.Camera)));
        return layers;
    }

    /// <summary>The four surfaces round the photographed one, where the camera sees them.</summary>
    private static void AddSides(Scene scene, RingTable rings, List<Layer> layers)
    {
        double hx = scene.Size1Mm / 2, hy = scene.Size2Mm / 2;
        var deep = scene.DepthMm;
        var inward = scene.Surface.Axis1.Cross(scene.Surface.Axis2);
        (Vec3 Origin, Vec3 Axis, Vec3 Inward, double Half)[] sides =
        [
            (new(0, -hy, 0), new(1, 0, 0), new(0, 1, 0), hx),
            (new(0, hy, 0), new(1, 0, 0), new(0, -1, 0), hx),
            (new(-hx, 0, 0), new(0, 1, 0), new(1, 0, 0), hy),
            (new(hx, 0, 0), new(0, 1, 0), new(-1, 0, 0), hy),
        ];
        foreach (var (origin, axis, inside, half) in sides)
        {
            if (!scene.Camera.Sees(origin, inside))
                continue;
            var logAxis = (scene.Surface.Axis1 * axis.X) + (scene.Surface.Axis2 * axis.Y);
            var isEnd = scene.View == View.Face && axis.Y != 0;
            var plane = new WoodPlane(scene.Surface.At(origin.X, origin.Y), logAxis, inward, isEnd, scene.Surface.ReferenceRadiusMm);
            var map = scene.Camera.PxFromPlane(origin, axis, new Vec3(0, 0, 1));
            var light = 0.42f + (0.25f * (float)(0.5 + (0.35 * origin.X / hx) - (0.5 * origin.Y / hy)));
            layers.Add(new WoodLayer(scene, plane, map, [(-half, 0), (half, 0), (half, deep), (-half, deep)], rings, light, [.. scene.Features.OfType<KnotFeature>().Select(k => k.Everywhere())]));
        }
    }

    /// <summary>Least and greatest reference radius that the photo can show.</summary>
    public static (double Least, double Greatest) RadiusRange(Scene scene)
    {
        double least = double.MaxValue, greatest = 0;
        var inward = scene.Surface.Axis1.Cross(scene.Surface.Axis2);
        for (var i = 0; i <= 24; i++)
        {
            for (var j = 0; j <= 24; j++)
            {
                for (var k = 0; k <= 1; k++)
                {
                    var x = ((i / 24.0) - 0.5) * scene.Size1Mm * 1.04;
                    var y = ((j / 24.0) - 0.5) * scene.Size2Mm * 1.1;
                    var u = scene.Log.RadiusAt(scene.Surface.At(x, y) + (inward * (k * scene.DepthMm)));
                    least = Math.Min(least, u);
                    greatest = Math.Max(greatest, u);
                }
            }
        }

        return (Math.Max(0, least - 10), greatest + 10);
    }

    internal static PlaneMap PropMap(Camera camera, PropPlacement p)
    {
        var (sin, cos) = Math.SinCos(p.TurnRad);
        return camera.PxFromPlane(new Vec3(p.X, p.Y, 0), new Vec3(cos, sin, 0), new Vec3(-sin, cos, 0));
    }

    internal static (double X, double Y)[] PropCorners(PropPlacement p, double length, double width)
    {
        var (sin, cos) = Math.SinCos(p.TurnRad);
        (double X, double Y) At(double x, double y) => (p.X + (x * cos) - (y * sin), p.Y + (x * sin) + (y * cos));
        return [At(0, 0), At(length, 0), At(length, width), At(0, width)];
    }

    private static double ScaleAtMiddle(Camera camera)
    {
        var map = camera.PxFromSurface();
        var (ax, ay) = map.Apply(-0.5, 0);
        var (bx, by) = map.Apply(0.5, 0);
        return Math.Sqrt(((ax - bx) * (ax - bx)) + ((ay - by) * (ay - by)));
    }

    private static ShadowCaster Shadow(Scene scene, IReadOnlyList<(double X, double Y)> corners, double reach, double depth)
    {
        // The shadow falls away from the lamp: the same direction as the fall of the light over the picture.
        var angle = scene.Optics.LightFallRad - scene.Camera.RotationRad + Math.PI;
        return new ShadowCaster(corners, reach * Math.Cos(angle), reach * Math.Sin(angle), Math.Max(3, reach), depth);
    }
}
