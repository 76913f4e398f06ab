using GrainVision.Grading.Quantities;
using SkiaSharp;

namespace GrainVision.Presentation.Pictures;

/// <summary>A part of the photo and where it lies on the canvas: the one place that maps photo pixels to canvas pixels.</summary>
internal sealed class PictureFrame
{
    /// <summary>Points are held within this many px of the canvas: beyond it a dashed line would take for ever to draw.</summary>
    private const double FarthestPx = 16384;

    /// <param name="crop">Part of the upright photo that is shown, px of the photo.</param>
    /// <param name="photo">Its size on the canvas, px.</param>
    /// <param name="style">Sizes of this picture.</param>
    /// <param name="stage">The photo and the gutters round it, canvas px.</param>
    /// <param name="photoArea">Where the part lies, canvas px.</param>
    /// <param name="partName">"part 2 of 5"; null where this part is all that is shown of the photo.</param>
    public PictureFrame(SKRectI crop, SKSizeI photo, PictureStyle style, SKRect stage, SKRect photoArea, string? partName)
    {
        (Crop, PhotoSize, Style, Stage, PhotoArea, PartName) = (crop, photo, style, stage, photoArea, partName);
    }

    public SKRectI Crop { get; }

    public SKSizeI PhotoSize { get; }

    public PictureStyle Style { get; }

    public SKRect PhotoArea { get; }

    /// <summary>Lines and labels stay inside.</summary>
    public SKRect Stage { get; }

    public string? PartName { get; }

    public bool Whole => PartName is null;

    private double ScaleX => PhotoSize.Width / (double)Crop.Width;

    private double ScaleY => PhotoSize.Height / (double)Crop.Height;

    /// <summary>Canvas px per photo px.</summary>
    public double Magnification => (ScaleX + ScaleY) / 2;

    /// <summary>Canvas position of a point of the upright photo. A photo pixel's centre has whole coordinates, a canvas pixel's has halves.</summary>
    public SKPoint Map(PointPx p) => new(
        (float)Math.Clamp(PhotoArea.Left + ((p.X + 0.5 - Crop.Left) * ScaleX), -FarthestPx, FarthestPx),
        (float)Math.Clamp(PhotoArea.Top + ((p.Y + 0.5 - Crop.Top) * ScaleY), -FarthestPx, FarthestPx));

    /// <summary>Canvas positions of the points that are numbers; the others are left out.</summary>
    public SKPoint[] Map(IEnumerable<PointPx>? points) =>
        points is null ? [] : [.. points.Where(IsFinite).Select(Map)];

    /// <summary>
    /// Whether a canvas point belongs to this frame: what lies elsewhere gets no label here. Where the photo is shown in
    /// parts, the gutters belong to the neighbouring part.
    /// </summary>
    public bool Shows(SKPoint p) => Whole
        ? Stage.Contains(p)
        : p.X >= PhotoArea.Left && p.X < PhotoArea.Right && p.Y >= PhotoArea.Top && p.Y < PhotoArea.Bottom;

    public static bool IsFinite(PointPx p) => double.IsFinite(p.X) && double.IsFinite(p.Y);
}
