using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using SkiaSharp;

namespace GrainVision.Presentation.Pictures;

/// <summary>
/// Draws a measurement over its photo: verdict above, numbers below, lines on the wood. The same photo and measurement give the same bytes
/// with the same versions of this program, of Skia and of what resizes and encodes, on the same kind of processor. No clock, no system font, no metadata.
/// </summary>
public static class PictureDrawer
{
    /// <summary>3: higher levels of compression take several times as long for a few percent.</summary>
    private const int PngLevel = 3;

    /// <summary>Draws the picture.</summary>
    /// <param name="photo">The photo that was measured, upright; it is only read.</param>
    /// <param name="measurement">What to draw. Parts that are null, empty or not finite are left out; points outside the photo are allowed.</param>
    /// <param name="work">Resizes the photo and writes the JPEG.</param>
    /// <param name="cancellation">Looked at between steps.</param>
    /// <param name="format">File format.</param>
    /// <returns>The encoded picture. At most 2000 px wide, and at most 1.6 times as high as the photo in it.</returns>
    /// <exception cref="OperationCanceledException">The caller gave up.</exception>
    public static DrawnPicture Draw(PhotoPixels photo, Measurement measurement, PictureWork work, CancellationToken cancellation, PictureFormat format = PictureFormat.Jpeg)
    {
        ArgumentNullException.ThrowIfNull(measurement);
        ArgumentNullException.ThrowIfNull(work);
        var layout = new PictureLayout(photo.WidthPx, photo.HeightPx, measurement);
        var (width, height, frames) = (layout.Width, layout.Height, layout.Frames);
        cancellation.ThrowIfCancellationRequested();

        // One buffer: the photo is written into it, Skia draws over it. Every pixel is painted: banner, stages, bar and numbers join up.
        var info = new SKImageInfo(width, height, SKColorType.Bgra8888, SKAlphaType.Opaque);
        using var pixels = new SKBitmap(info);
        pixels.Erase(PictureStyle.Gutter, new SKRectI(0, layout.StagesTop, width, layout.StagesEnd));
        foreach (var frame in frames)
            PutPhoto(photo, pixels, frame, work);
        cancellation.ThrowIfCancellationRequested();

        using (var surface = SKSurface.Create(info, pixels.GetPixels(), pixels.RowBytes)
            ?? throw new InvalidOperationException($"No drawing surface of {width} x {height}."))
        using (var ink = new OverlayCanvas(surface.Canvas, layout.Style))
        {
            foreach (var frame in frames)
                DrawOverlays(ink, frame, measurement, named: !layout.HasKey);
            layout.DrawPanels(ink);
            surface.Flush();
        }

        cancellation.ThrowIfCancellationRequested();
        var (bytes, type) = format == PictureFormat.Png ? (Png(pixels), "image/png") : (work.EncodeJpeg(Whole(pixels)), "image/jpeg");
        return new DrawnPicture(bytes, type, AltText.From(measurement), width, height);
    }

    private static byte[] Png(SKBitmap pixels)
    {
        using var pixmap = pixels.PeekPixels();
        using var encoded = pixmap.Encode(new SKPngEncoderOptions(SKPngEncoderFilterFlags.Sub, PngLevel))
            ?? throw new InvalidOperationException("The picture could not be encoded.");
        return encoded.ToArray();
    }

    private static CanvasPixels Whole(SKBitmap pixels) => new(pixels.GetPixelSpan(), pixels.Width, pixels.Height, pixels.RowBytes);

    private static void DrawOverlays(OverlayCanvas ink, PictureFrame frame, Measurement measurement, bool named)
    {
        ink.Canvas.Save();
        ink.Canvas.ClipRect(frame.Stage);
        var labelBounds = SKRect.Inflate(frame.Stage, -frame.Style.LabelPx * 0.15f, -frame.Style.LabelPx * 0.15f);
        var placer = new LabelPlacer(labelBounds, frame.Map(measurement.Outline));
        if (frame.PartName is { } name)
            placer.Block(ink.Caption(name, frame.Stage));

        // Lines first, and none across a blemish; then what needs labels, the ones with the least freedom first.
        BlemishOverlay.Block(frame, measurement, placer);
        SectionOverlay.DrawOutline(ink, frame, measurement);
        SectionOverlay.DrawScaleMarks(ink, frame, measurement);
        ink.Canvas.Save();
        BlemishOverlay.KeepClear(ink, frame, measurement);
        SectionOverlay.DrawAxis(ink, frame, measurement);
        GrainOverlay.DrawTraces(ink, frame, measurement);
        ink.Canvas.Restore();
        SectionOverlay.DrawCorner(ink, frame, measurement, placer);
        RingOverlay.Draw(ink, frame, measurement, placer);
        AngleOverlay.Draw(ink, frame, measurement, placer);
        RingOverlay.DrawWorstInch(ink, frame, measurement, placer);
        GrainOverlay.DrawWorstWindow(ink, frame, measurement, placer);
        BlemishOverlay.Draw(ink, frame, measurement, placer, named);
        ink.Canvas.Restore();
    }

    private static void PutPhoto(PhotoPixels photo, SKBitmap canvas, PictureFrame frame, PictureWork work)
    {
        var crop = frame.Crop;
        var from = ((int)frame.PhotoArea.Top * canvas.RowBytes) + ((int)frame.PhotoArea.Left * CanvasPixels.PixelBytes);
        var place = new CanvasPixels(canvas.GetPixelSpan()[from..], frame.PhotoSize.Width, frame.PhotoSize.Height, canvas.RowBytes);
        work.Resize(photo.Part(crop.Left, crop.Top, crop.Width, crop.Height), place);
    }
}
