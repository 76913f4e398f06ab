using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Presentation.Pictures;
using SkiaSharp;

namespace GrainVision.Presentation.Reports.Pdf;

/// <summary>The photo part of an annotated picture, or the neighbourhood of a place in it, made small enough for paper.</summary>
internal static class EvidencePicture
{
    /// <summary>900 px over 85 mm of paper are 270 dots an inch: more than a printer shows.</summary>
    private const int GreatestSidePx = 900;

    /// <summary>80 KB: twenty pictures are then 1.6 MB, and a letter goes through any mail server. A picture too busy for that is coded coarser.</summary>
    private const int GreatestBytes = 80 * 1024;

    /// <summary>0.4 of the photo's width is shown round a mark of a face: it and where it lies.</summary>
    private const float Neighbourhood = 0.4f;

    /// <summary>The picture as a JPEG that goes into the PDF as it is; null where the bytes are no picture.</summary>
    /// <param name="bytes">Our own annotated picture; one of another version is shown whole.</param>
    /// <param name="measurement">What it was drawn of.</param>
    /// <param name="near">Where to look, px of the photo; null for all of the photo.</param>
    public static SKImage? From(byte[] bytes, Measurement measurement, PointPx? near = null)
    {
        using var codec = SKCodec.Create(new SKMemoryStream(bytes));
        using var full = codec is null ? null : SKBitmap.Decode(codec);
        if (full is null)
            return null;
        using var part = new SKBitmap();
        var shown = PartOf(full, measurement, near) is { } at && full.ExtractSubset(part, at) ? part : full;
        var k = Math.Min(1.0, (double)GreatestSidePx / Math.Max(shown.Width, shown.Height));
        var size = new SKImageInfo(Math.Max(1, (int)Math.Round(shown.Width * k)), Math.Max(1, (int)Math.Round(shown.Height * k)), SKColorType.Rgba8888, SKAlphaType.Opaque);
        using var small = shown.Resize(size, new SKSamplingOptions(SKFilterMode.Linear, SKMipmapMode.Linear));
        foreach (var quality in (ReadOnlySpan<int>)[80, 66, 52, 38])
        {
            using var jpeg = small?.Encode(SKEncodedImageFormat.Jpeg, quality);
            if (jpeg is not null && (jpeg.Size <= GreatestBytes || quality == 38))
                return SKImage.FromEncodedData(jpeg);
        }

        return null;
    }

    private static SKRectI? PartOf(SKBitmap full, Measurement measurement, PointPx? near)
    {
        var layout = new PictureLayout(measurement.Photo.Width, measurement.Photo.Height, measurement);
        if ((full.Width, full.Height) != (layout.Width, layout.Height))
            return null;
        var stages = new SKRectI(0, layout.StagesTop, layout.Width, layout.StagesEnd);
        if (near is null)
            return WithoutBench(layout, measurement) ?? stages;
        if (near is not { } place || !PictureFrame.IsFinite(place) || layout.FrameOf(new SKPoint((float)place.X, (float)place.Y)) is not { } frame)
            return stages;
        var at = frame.Map(place);
        var (width, height) = (Neighbourhood * frame.Stage.Width, Math.Min(frame.Stage.Height, Neighbourhood * frame.Stage.Width * 0.75f));
        var left = Math.Clamp(at.X - (width / 2), frame.Stage.Left, frame.Stage.Right - width);
        var top = Math.Clamp(at.Y - (height / 2), frame.Stage.Top, frame.Stage.Bottom - height);
        return SKRectI.Round(SKRect.Create(left, top, width, height));
    }

    /// <summary>The piece with what stands beside it, the bench and the card left out; null where the outline says nothing or the photo is shown in parts.</summary>
    private static SKRectI? WithoutBench(PictureLayout layout, Measurement measurement)
    {
        if (layout.Frames is not [var frame] || frame.Map(measurement.Outline) is not { Length: >= 3 } corners)
            return null;
        var piece = new SKRect(corners.Min(c => c.X), corners.Min(c => c.Y), corners.Max(c => c.X), corners.Max(c => c.Y));
        // Room for what is named beside it.
        piece.Inflate(frame.Style.LabelPx * 4, frame.Style.LabelPx * 3.4f);
        piece.Intersect(frame.Stage);
        return piece.Width < 2 || piece.Height < 2 ? null : SKRectI.Round(piece);
    }
}
