using GrainVision.Grading.Findings;
using GrainVision.Measuring.Intake;
using OpenCvSharp;
using SkiaSharp;

namespace GrainVision.Measuring.Picture;

/// <summary>
/// Draws a measurement over its photo: verdict above, numbers below, lines on the wood. The same photo and measurement give the same bytes
/// with the same versions of this program, OpenCV and Skia on the same kind of processor. No clock, no system font, no metadata.
/// </summary>
public static class PictureDrawer
{
    /// <summary>88: at it the thin cased lines show no fringes at arm's length.</summary>
    private const int JpegQuality = 88;

    /// <summary>OpenCV's IMWRITE_JPEG_SAMPLING_FACTOR, which the wrapper does not name.</summary>
    private const ImwriteFlags JpegSampling = (ImwriteFlags)7;

    /// <summary>OpenCV's IMWRITE_JPEG_SAMPLING_FACTOR_444: full colour resolution, or thin coloured lines bleed into the wood.</summary>
    private const int FullColour = 0x111111;

    /// <summary>3: higher levels of compression take several times as long for a few percent.</summary>
    private const int PngLevel = 3;

    /// <summary>Draws the picture as a JPEG.</summary>
    public static DrawnPicture Draw(UprightPhoto photo, Measurement measurement, CancellationToken cancellation) =>
        Draw(photo, measurement, PictureFormat.Jpeg, cancellation);

    /// <summary>Draws the picture.</summary>
    /// <param name="photo">The photo that was measured; it is only read.</param>
    /// <param name="measurement">What to draw. Parts that are null, empty or not finite are left out; points outside the photo are allowed.</param>
    /// <param name="format">File format.</param>
    /// <param name="cancellation">Looked at between steps.</param>
    /// <returns>The encoded picture. Its long side is about 2048 px and at least 1200 px, plus the panels.</returns>
    /// <exception cref="OperationCanceledException">The caller gave up.</exception>
    public static DrawnPicture Draw(UprightPhoto photo, Measurement measurement, PictureFormat format, CancellationToken cancellation)
    {
        ArgumentNullException.ThrowIfNull(photo);
        ArgumentNullException.ThrowIfNull(measurement);
        var plan = new PicturePlan(photo.Width, photo.Height, measurement);
        var width = plan.CanvasWidth;
        var banner = new VerdictBanner(plan.Style, measurement, width);
        var frames = plan.Frames(banner.HeightPx);
        var bar = new ScaleBar(plan.Style, measurement.Scale.PixelsPerMm.Value * frames[0].Magnification, width);
        var numbers = new NumbersPanel(plan.Style, measurement, width);
        var stagesEnd = (int)frames.Max(f => f.Stage.Bottom);
        var height = stagesEnd + bar.HeightPx + numbers.HeightPx;
        cancellation.ThrowIfCancellationRequested();

        // One buffer for both libraries: OpenCV writes the photo into it, Skia draws over it. Every pixel is painted: banner, stages, bar and numbers join up.
        using var pixels = new Mat(height, width, MatType.CV_8UC4);
        using (var gutters = new Mat(pixels, new Rect(0, banner.HeightPx, width, stagesEnd - banner.HeightPx)))
            gutters.SetTo(ToScalar(PictureStyle.Gutter));
        foreach (var frame in frames)
            PutPhoto(photo.Bgr, pixels, frame);
        cancellation.ThrowIfCancellationRequested();

        var info = new SKImageInfo(width, height, SKColorType.Bgra8888, SKAlphaType.Opaque);
        using (var surface = SKSurface.Create(info, pixels.Data, (int)pixels.Step())
            ?? throw new InvalidOperationException($"No drawing surface of {width} x {height}."))
        using (var ink = new OverlayCanvas(surface.Canvas, plan.Style))
        {
            foreach (var frame in frames)
                DrawOverlays(ink, frame, measurement);
            banner.Draw(surface.Canvas);
            bar.Draw(surface.Canvas, stagesEnd);
            numbers.Draw(ink, stagesEnd + bar.HeightPx);
            surface.Flush();
        }

        cancellation.ThrowIfCancellationRequested();
        var (bytes, type) = format == PictureFormat.Png ? (Png(pixels, info), "image/png") : (Jpeg(pixels), "image/jpeg");
        return new DrawnPicture(bytes, type, AltText.From(measurement), width, height);
    }

    /// <summary>
    /// Where the photo with its scale bar stands in the picture of a measurement, without banner and numbers; null where a picture of this size is not
    /// that of this measurement.
    /// </summary>
    internal static SKRectI? PhotoPart(Measurement measurement, int pictureWidth, int pictureHeight)
    {
        var plan = new PicturePlan(measurement.Photo.Width, measurement.Photo.Height, measurement);
        var banner = new VerdictBanner(plan.Style, measurement, plan.CanvasWidth);
        var frames = plan.Frames(banner.HeightPx);
        var bar = new ScaleBar(plan.Style, measurement.Scale.PixelsPerMm.Value * frames[0].Magnification, plan.CanvasWidth);
        var numbers = new NumbersPanel(plan.Style, measurement, plan.CanvasWidth);
        var end = (int)frames.Max(f => f.Stage.Bottom) + bar.HeightPx;
        return pictureWidth == plan.CanvasWidth && pictureHeight == end + numbers.HeightPx ? new SKRectI(0, banner.HeightPx, plan.CanvasWidth, end) : null;
    }

    /// <summary>OpenCV's encoder: measured several times as fast as Skia's on the same pixels, with no larger a file worth speaking of.</summary>
    private static byte[] Jpeg(Mat pixels)
    {
        Cv2.ImEncode(".jpg", pixels, out var bytes, new ImageEncodingParam(ImwriteFlags.JpegQuality, JpegQuality), new ImageEncodingParam(JpegSampling, FullColour));
        return bytes;
    }

    /// <summary>Skia's encoder: for PNG it is the faster one.</summary>
    private static byte[] Png(Mat pixels, SKImageInfo info)
    {
        using var pixmap = new SKPixmap(info, pixels.Data, (int)pixels.Step());
        using var encoded = pixmap.Encode(new SKPngEncoderOptions(SKPngEncoderFilterFlags.Sub, PngLevel))
            ?? throw new InvalidOperationException("The picture could not be encoded.");
        return encoded.ToArray();
    }

    private static void DrawOverlays(OverlayCanvas ink, PictureFrame frame, Measurement measurement)
    {
        ink.Canvas.Save();
        ink.Canvas.ClipRect(frame.Stage);
        var labelBounds = SKRect.Inflate(frame.Stage, -frame.Style.LabelPx * 0.15f, -frame.Style.LabelPx * 0.15f);
        var placer = new LabelPlacer(labelBounds, frame.Map(measurement.Outline));
        if (frame.PartName is { } name)
            placer.Block(ink.Caption(name, frame.Stage));

        // Lines first, and none across a blemish; then what needs labels, the ones with the least freedom first.
        SectionOverlay.DrawOutline(ink, frame, measurement);
        SectionOverlay.DrawScaleMarks(ink, frame, measurement);
        ink.Canvas.Save();
        BlemishOverlay.KeepClear(ink, frame, measurement);
        SectionOverlay.DrawAxis(ink, frame, measurement);
        GrainOverlay.DrawTraces(ink, frame, measurement);
        ink.Canvas.Restore();
        SectionOverlay.DrawCorners(ink, frame, measurement, placer);
        RingOverlay.Draw(ink, frame, measurement, placer);
        AngleOverlay.Draw(ink, frame, measurement, placer);
        RingOverlay.DrawWorstInch(ink, frame, measurement, placer);
        GrainOverlay.DrawWorstWindow(ink, frame, measurement, placer);
        BlemishOverlay.Draw(ink, frame, measurement, placer);
        ink.Canvas.Restore();
    }

    private static void PutPhoto(Mat bgr, Mat canvas, PictureFrame frame)
    {
        using var shown = new Mat(bgr, frame.Crop);
        using var resized = new Mat();
        // Area averaging keeps fine rings from turning into moiré when they shrink; cubic keeps an enlarged photo smooth.
        var method = frame.Magnification < 1 ? InterpolationFlags.Area : InterpolationFlags.Cubic;
        Cv2.Resize(shown, resized, frame.PhotoSize, 0, 0, method);
        var area = new Rect((int)frame.PhotoArea.Left, (int)frame.PhotoArea.Top, frame.PhotoSize.Width, frame.PhotoSize.Height);
        using var place = new Mat(canvas, area);
        Cv2.CvtColor(resized, place, ColorConversionCodes.BGR2BGRA);
    }

    private static Scalar ToScalar(SKColor c) => new(c.Blue, c.Green, c.Red, 255);
}
