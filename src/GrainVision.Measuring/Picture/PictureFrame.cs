using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using OpenCvSharp;
using SkiaSharp;

namespace GrainVision.Measuring.Picture;

/// <summary>Which part of the photo is shown, how large, and where on the canvas: the one place that maps photo pixels to canvas pixels.</summary>
internal sealed class PictureFrame
{
    /// <summary>2048: long side of the photo on the canvas at most; finer detail belongs to the photo itself, which is kept.</summary>
    private const int LongSideAtMostPx = 2048;

    /// <summary>1200: long side at least; a smaller photo is enlarged so that lines and text have room.</summary>
    private const int LongSideAtLeastPx = 1200;

    /// <summary>1080: narrowest canvas; below it a sentence would break after every other word.</summary>
    private const int CanvasWidthAtLeastPx = 1080;

    /// <summary>0.12 of the piece's longer extent is left round it: room for corner numbers, and the inspector sees where the piece lay.</summary>
    private const double CropMargin = 0.12;

    /// <summary>0.6: where the piece and its margin fill more of the photo than this, cropping gains nothing.</summary>
    private const double CropBelowShare = 0.6;

    /// <summary>1.8: scale marks stay in view as long as they do not make the view larger than this many times.</summary>
    private const double MarksMayEnlarge = 1.8;

    /// <summary>Points are held within this many px of the canvas: beyond it a dashed line would take for ever to draw.</summary>
    private const double FarthestPx = 16384;

    private PictureFrame(Rect crop, Size photo, float sizeUnitPx, SKRect stage, SKRect photoArea)
    {
        Crop = crop;
        PhotoSize = photo;
        Style = new PictureStyle(sizeUnitPx);
        Stage = stage;
        PhotoArea = photoArea;
    }

    /// <summary>Part of the upright photo that is shown, px of the photo.</summary>
    public Rect Crop { get; }

    /// <summary>Size of that part on the canvas, px.</summary>
    public Size PhotoSize { get; }

    public PictureStyle Style { get; }

    /// <summary>Where that part lies, canvas px.</summary>
    public SKRect PhotoArea { get; }

    /// <summary>The photo and the gutters round it: lines and labels stay inside, canvas px.</summary>
    public SKRect Stage { get; }

    public int CanvasWidth => (int)Stage.Width;

    private double ScaleX => PhotoSize.Width / (double)Crop.Width;

    private double ScaleY => PhotoSize.Height / (double)Crop.Height;

    /// <summary>Canvas px per photo px.</summary>
    public double Magnification => (ScaleX + ScaleY) / 2;

    /// <summary>Plans the picture for a photo of this size; the top of the stage is put at 0.</summary>
    public static PictureFrame Plan(int photoWidth, int photoHeight, Measurement measurement)
    {
        var crop = CropFor(photoWidth, photoHeight, measurement);
        var longSide = Math.Max(crop.Width, crop.Height);
        var scale = longSide > LongSideAtMostPx ? LongSideAtMostPx / (double)longSide
            : longSide < LongSideAtLeastPx ? LongSideAtLeastPx / (double)longSide
            : 1;
        var size = new Size(Math.Max(1, (int)Math.Round(crop.Width * scale)), Math.Max(1, (int)Math.Round(crop.Height * scale)));

        // Labels belong beside the wood. Where the piece reaches the edge of what is shown, a gutter gives them a place.
        var unit = Math.Max(size.Width, CanvasWidthAtLeastPx);
        var label = new PictureStyle(unit).LabelPx;
        var piece = Bounds(measurement.Outline) ?? new Rect2d(crop.X, crop.Y, crop.Width, crop.Height);
        int GutterFor(double freePx, double needed) => (int)Math.Round(Math.Clamp(needed - (freePx * scale), label * 0.3, needed));
        var left = GutterFor(piece.Left - crop.X, label * 1.6);
        var right = GutterFor(crop.X + crop.Width - piece.Right, label * 1.6);
        var top = GutterFor(piece.Top - crop.Y, label * 3.4);
        var bottom = GutterFor(crop.Y + crop.Height - piece.Bottom, label * 3.4);

        var width = Math.Max(size.Width + left + right, CanvasWidthAtLeastPx);
        var x = width == CanvasWidthAtLeastPx ? (width - size.Width) / 2 : left;
        var stage = SKRect.Create(0, 0, width, top + size.Height + bottom);
        return new PictureFrame(crop, size, unit, stage, SKRect.Create(x, top, size.Width, size.Height));
    }

    /// <summary>The same frame with its stage starting this far down the canvas.</summary>
    public PictureFrame MovedDown(int px)
    {
        var stage = Stage;
        var area = PhotoArea;
        stage.Offset(0, px);
        area.Offset(0, px);
        return new PictureFrame(Crop, PhotoSize, Style.LabelPx * 38, stage, area);
    }

    /// <summary>Canvas position of a point of the upright photo. A photo pixel's centre has whole coordinates, a canvas pixel's has halves.</summary>
    public SKPoint Map(PointPx p) => new(
        (float)Math.Clamp(PhotoArea.Left + ((p.X + 0.5 - Crop.X) * ScaleX), -FarthestPx, FarthestPx),
        (float)Math.Clamp(PhotoArea.Top + ((p.Y + 0.5 - Crop.Y) * ScaleY), -FarthestPx, FarthestPx));

    /// <summary>Canvas positions of the points that are numbers; the others are left out.</summary>
    public SKPoint[] Map(IEnumerable<PointPx>? points) =>
        points is null ? [] : [.. points.Where(IsFinite).Select(Map)];

    public static bool IsFinite(PointPx p) => double.IsFinite(p.X) && double.IsFinite(p.Y);

    private static Rect CropFor(int photoWidth, int photoHeight, Measurement measurement)
    {
        var whole = new Rect(0, 0, photoWidth, photoHeight);
        if (Bounds(measurement.Outline) is not { } piece)
            return whole;
        var margin = CropMargin * Math.Max(piece.Width, piece.Height);
        var near = Clip(Grown(piece, margin), whole);
        if (near.Width < 2 || near.Height < 2)
            return whole;
        if (Bounds(measurement.Scale.Marks) is { } marks)
        {
            var both = Clip(Grown(marks, margin / 4), whole) | near;
            if (Area(both) <= MarksMayEnlarge * Area(near))
                near = both;
        }

        return Area(near) > CropBelowShare * Area(whole) ? whole : near;
    }

    private static Rect2d? Bounds(IReadOnlyList<PointPx>? points)
    {
        var finite = points?.Where(IsFinite).ToArray();
        if (finite is not { Length: >= 2 })
            return null;
        var (left, top) = (finite.Min(p => p.X), finite.Min(p => p.Y));
        return new Rect2d(left, top, finite.Max(p => p.X) - left, finite.Max(p => p.Y) - top);
    }

    private static Rect2d Grown(Rect2d r, double by) => new(r.X - by, r.Y - by, r.Width + (2 * by), r.Height + (2 * by));

    private static Rect Clip(Rect2d r, Rect whole)
    {
        int Within(double v, int most) => (int)Math.Round(Math.Clamp(v, 0, most));
        var (left, top) = (Within(r.Left, whole.Width), Within(r.Top, whole.Height));
        return new Rect(left, top, Within(r.Right, whole.Width) - left, Within(r.Bottom, whole.Height) - top);
    }

    private static double Area(Rect r) => (double)r.Width * r.Height;
}
