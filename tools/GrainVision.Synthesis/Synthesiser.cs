using System.Text.Json;
using GrainVision.Grading.Findings;

namespace GrainVision.Synthesis;

/// <summary>A synthetic photo with its truth.</summary>
/// <param name="Width">px.</param>
/// <param name="Height">px.</param>
/// <param name="Bgr">Pixels before JPEG, blue-green-red, rows from the top without padding.</param>
/// <param name="JpegQuality">Quality to encode with.</param>
/// <param name="Truth">What the photo truly shows.</param>
/// <param name="Scene">All that it was made of.</param>
public sealed record SynthesisedPhoto(int Width, int Height, byte[] Bgr, int JpegQuality, PhotoTruth Truth, Scene Scene)
{
    /// <summary>The photo as a JPEG file, with the EXIF that shows it whole.</summary>
    public byte[] ToJpeg() => PhotoExif.Into(PhotoFile.Jpeg(Bgr, Width, Height, JpegQuality), Width, Height, Scene.Camera.FocalPx);

    /// <summary>The same photo stored turned, with the EXIF orientation 1, 3, 6 or 8; the truth speaks of it upright.</summary>
    public byte[] ToTurnedJpeg(int exifOrientation) => PhotoFile.TurnedJpeg(Bgr, Width, Height, JpegQuality, exifOrientation);

    /// <summary>The photo as a PNG file: no compression loss.</summary>
    public byte[] ToPng() => PhotoFile.Png(Bgr, Width, Height);
}

/// <summary>Makes photos of wood with known truth. The same request gives the same bytes.</summary>
public static class Synthesiser
{
    public static SynthesisedPhoto Make(SceneRequest request) => Render(SceneBuilder.Build(request));

    /// <summary>Renders a scene that the caller may have changed with <c>with</c>.</summary>
    public static SynthesisedPhoto Render(Scene scene) => Render(scene, null);

    /// <summary>The same with a mask of what is painted where.</summary>
    public static (SynthesisedPhoto Photo, ClassMask Mask) RenderWithMask(Scene scene)
    {
        ArgumentNullException.ThrowIfNull(scene);
        var mask = new ClassMask(scene.Camera.WidthPx, scene.Camera.HeightPx);
        return (Render(scene, mask), mask);
    }

    private static SynthesisedPhoto Render(Scene scene, ClassMask? mask)
    {
        ArgumentNullException.ThrowIfNull(scene);
        var light = ScenePainter.Paint(scene, mask);
        var sensor = new SeededRandom((ulong)(uint)scene.Seed).Fork("sensor");
        var bgr = Photographer.Expose(light, scene.Camera.WidthPx, scene.Camera.HeightPx, scene.Optics, sensor);
        return new SynthesisedPhoto(scene.Camera.WidthPx, scene.Camera.HeightPx, bgr, scene.Optics.JpegQuality, GroundTruth.Tell(scene), scene);
    }

    /// <summary>
    /// Photographs a printed sheet with the camera, light, bench and rule that a request for an end of that size would get; gives the JPEG.
    /// </summary>
    /// <param name="sheet">The sheet as printed, blue-green-red; its scale says how large.</param>
    /// <param name="frame">What the camera frames: width and thickness are those of the part of the sheet to be shown.</param>
    /// <param name="middleX">Middle of that part on the sheet, mm.</param>
    /// <param name="middleY">Middle of that part on the sheet, mm.</param>
    public static byte[] PhotographSheet(Picture sheet, SceneRequest frame, double middleX, double middleY)
    {
        ArgumentNullException.ThrowIfNull(sheet);
        var scene = SceneBuilder.Build(frame);
        var light = ScenePainter.PaintSheet(scene, sheet, -middleX, -middleY);
        var sensor = new SeededRandom((ulong)(uint)scene.Seed).Fork("sensor");
        var bgr = Photographer.Expose(light, scene.Camera.WidthPx, scene.Camera.HeightPx, scene.Optics, sensor);
        return PhotoFile.Jpeg(bgr, scene.Camera.WidthPx, scene.Camera.HeightPx, scene.Optics.JpegQuality);
    }

    /// <summary>Truth as indented JSON, by the contract's habits.</summary>
    public static string ToJson(PhotoTruth truth) => JsonSerializer.Serialize(truth, TruthJson);

    private static readonly JsonSerializerOptions TruthJson = new(ContractJson.Options) { WriteIndented = true };
}
