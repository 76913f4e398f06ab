using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Presentation.Text;
using SkiaSharp;

namespace GrainVision.Presentation.Pictures;

/// <summary>
/// Which part of the photo is shown and how large. A long face is cut into parts that stand under one another (an upright one: side by
/// side); as one strip it would be a finger's width high on a phone.
/// </summary>
internal sealed class PicturePlan
{
    /// <summary>2000 px: long side of a part on the canvas at most; finer detail belongs to the photo itself, which is kept.</summary>
    private const int LongSideAtMostPx = 2000;

    /// <summary>1200: long side at least; a smaller photo is enlarged so that lines and text have room.</summary>
    private const int LongSideAtLeastPx = 1200;

    /// <summary>1500: where shrinking by a whole number leaves at least this long a side, that is done: averaging whole blocks is several times as fast.</summary>
    private const int WholeFactorFromPx = 1500;

    /// <summary>1080: narrowest canvas; below it a sentence would break after every other word.</summary>
    private const int CanvasWidthAtLeastPx = 1080;

    /// <summary>0.12 of the piece's longer extent is left round it: room for corner numbers, and the inspector sees where the piece lay.</summary>
    private const double CropMargin = 0.12;

    /// <summary>0.85: where the piece and its margin fill more of the photo than this, cropping gains nothing.</summary>
    private const double CropBelowShare = 0.85;

    /// <summary>1.8: scale marks stay in view as long as they do not make the view larger than this many times.</summary>
    private const double MarksMayEnlarge = 1.8;

    /// <summary>6: a view longer than this many times its height is cut into parts.</summary>
    private const double CutFromAspect = 6;

    /// <summary>4: length over height that a part aims at.</summary>
    private const double PartAspect = 4;

    private const int PartsAtMost = 8;

    private readonly SKRectI[] _crops;
    private readonly SKSizeI[] _sizes;
    private readonly bool _sideBySide;
    private readonly (int Left, int Top, int Right, int Bottom) _gutter;

    public PicturePlan(int photoWidth, int photoHeight, Measurement measurement)
    {
        var view = CropFor(photoWidth, photoHeight, measurement);
        _sideBySide = view.Height > view.Width;
        _crops = Cut(view);
        var longSide = _crops.Max(c => Math.Max(c.Width, c.Height));
        var whole = (longSide + LongSideAtMostPx - 1) / LongSideAtMostPx;
        double scale;
        if (_crops is [var only] && whole > 1 && longSide / whole >= WholeFactorFromPx && Math.Min(only.Width, only.Height) >= whole)
        {
            // Cut to whole blocks: at most a few pixels of the far edges are lost.
            scale = 1.0 / whole;
            _crops = [SKRectI.Create(only.Left, only.Top, only.Width / whole * whole, only.Height / whole * whole)];
        }
        else
        {
            scale = longSide > LongSideAtMostPx ? LongSideAtMostPx / (double)longSide
                : longSide < LongSideAtLeastPx ? LongSideAtLeastPx / (double)longSide
                : 1;
        }

        _sizes = [.. _crops.Select(c => new SKSizeI(Math.Max(1, (int)Math.Round(c.Width * scale)), Math.Max(1, (int)Math.Round(c.Height * scale))))];

        var photosWidth = _sideBySide ? _sizes.Sum(s => s.Width) : _sizes.Max(s => s.Width);
        Style = new PictureStyle(Math.Max(photosWidth, CanvasWidthAtLeastPx));

        // Labels belong beside the wood. Where the piece reaches the edge of what is shown, a gutter gives them a place.
        var piece = Bounds(measurement.Outline) ?? new Extent(view.Left, view.Top, view.Right, view.Bottom);
        int GutterFor(double freePx, double labels) =>
            (int)Math.Round(Math.Clamp((labels * Style.LabelPx) - (freePx * scale), Style.LabelPx * 0.3, labels * Style.LabelPx));
        var (beside, above) = _crops.Length > 1 ? (1.4, 1.7) : (1.6, 3.4);
        _gutter = (
            GutterFor(piece.Left - view.Left, beside),
            GutterFor(piece.Top - view.Top, above),
            GutterFor(view.Right - piece.Right, beside),
            GutterFor(view.Bottom - piece.Bottom, above));
        if (_crops.Length > 1)
            _gutter.Top = Math.Max(_gutter.Top, (int)(Style.LabelPx * 1.5f));

        var columns = _sideBySide ? _crops.Length : 1;
        CanvasWidth = Math.Max(photosWidth + (columns * (_gutter.Left + _gutter.Right)), CanvasWidthAtLeastPx);
    }

    public PictureStyle Style { get; }

    public int CanvasWidth { get; }

    /// <summary>The parts from this far down the canvas.</summary>
    public IReadOnlyList<PictureFrame> Frames(int topPx)
    {
        var frames = new List<PictureFrame>(_crops.Length);
        var used = _sizes.Sum(s => s.Width + _gutter.Left + _gutter.Right);
        float x = _sideBySide ? (CanvasWidth - used) / 2 : 0, y = topPx;
        for (var i = 0; i < _crops.Length; i++)
        {
            var width = _sideBySide && _crops.Length > 1 ? _sizes[i].Width + _gutter.Left + _gutter.Right : CanvasWidth;
            var stage = SKRect.Create(_crops.Length > 1 ? x : 0, y, width, _gutter.Top + _sizes[i].Height + _gutter.Bottom);
            var spare = (int)stage.Width - _sizes[i].Width - _gutter.Left - _gutter.Right;
            var area = SKRect.Create((int)stage.Left + _gutter.Left + (spare / 2), y + _gutter.Top, _sizes[i].Width, _sizes[i].Height);
            frames.Add(new PictureFrame(_crops[i], _sizes[i], Style, stage, area, PartName(i)));
            if (_sideBySide)
                x += stage.Width;
            else
                y = stage.Bottom;
        }

        return frames;
    }

    private string? PartName(int i) => _crops.Length == 1 ? null
        : _sideBySide ? $"{Figures.Whole(i + 1)}/{Figures.Whole(_crops.Length)}"
        : $"part {Figures.Whole(i + 1)} of {Figures.Whole(_crops.Length)}";

    private static SKRectI[] Cut(SKRectI view)
    {
        var (length, height) = (Math.Max(view.Width, view.Height), Math.Min(view.Width, view.Height));
        var aspect = length / (double)height;
        var parts = aspect > CutFromAspect ? (int)Math.Clamp(Math.Ceiling(aspect / PartAspect), 1, Math.Min(PartsAtMost, length)) : 1;
        return [.. Enumerable.Range(0, parts).Select(i =>
        {
            int from = (int)((long)length * i / parts), to = (int)((long)length * (i + 1) / parts);
            return view.Width >= view.Height
                ? SKRectI.Create(view.Left + from, view.Top, to - from, view.Height)
                : SKRectI.Create(view.Left, view.Top + from, view.Width, to - from);
        })];
    }

    private static SKRectI CropFor(int photoWidth, int photoHeight, Measurement measurement)
    {
        var whole = new SKRectI(0, 0, photoWidth, photoHeight);
        if (Bounds(measurement.Outline) is not { } piece)
            return whole;
        var margin = CropMargin * Math.Max(piece.Width, piece.Height);
        var near = Clip(Grown(piece, margin), whole);
        if (near.Width < 2 || near.Height < 2)
            return whole;
        if (Bounds(measurement.Scale.Marks) is { } marks)
        {
            var both = SKRectI.Union(Clip(Grown(marks, margin / 4), whole), near);
            if (Area(both) <= MarksMayEnlarge * Area(near))
                near = both;
        }

        return Area(near) > CropBelowShare * Area(whole) ? whole : near;
    }

    private static Extent? Bounds(IReadOnlyList<PointPx>? points)
    {
        var finite = points?.Where(PictureFrame.IsFinite).ToArray();
        if (finite is not { Length: >= 2 })
            return null;
        return new Extent(finite.Min(p => p.X), finite.Min(p => p.Y), finite.Max(p => p.X), finite.Max(p => p.Y));
    }

    private static Extent Grown(Extent r, double by) => new(r.Left - by, r.Top - by, r.Right + by, r.Bottom + by);

    private static SKRectI Clip(Extent r, SKRectI whole)
    {
        int Within(double v, int most) => (int)Math.Round(Math.Clamp(v, 0, most));
        var (left, top) = (Within(r.Left, whole.Width), Within(r.Top, whole.Height));
        return new SKRectI(left, top, Within(r.Right, whole.Width), Within(r.Bottom, whole.Height));
    }

    private static double Area(SKRectI r) => (double)r.Width * r.Height;

    /// <summary>Where points reach, px of the photo; it may lie partly outside.</summary>
    private readonly record struct Extent(double Left, double Top, double Right, double Bottom)
    {
        public double Width => Right - Left;

        public double Height => Bottom - Top;
    }
}
