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
    /// <summary>1.6: the whole picture is at most this many times as high as the photo in it; the rest of what is known stands on the page and in the reports.</summary>
    public const double HighestOfPhoto = 1.6;

    /// <summary>2000 px: width of the picture, and long side of a part, at most; finer detail belongs to the photo itself, which is kept.</summary>
    private const int LongSideAtMostPx = 2000;

    /// <summary>1200: long side at least; a smaller photo is enlarged so that lines and text have room.</summary>
    private const int LongSideAtLeastPx = 1200;

    /// <summary>1500: where shrinking by a whole number leaves at least this long a side, that is done: averaging whole blocks is several times as fast.</summary>
    private const int WholeFactorFromPx = 1500;

    /// <summary>1080: narrowest canvas; below it a sentence would break after every other word.</summary>
    private const int CanvasWidthAtLeastPx = 1080;

    /// <summary>0.12 of the piece's longer extent is left round it: room for labels, and the inspector sees where the piece lay.</summary>
    private const double CropMargin = 0.12;

    /// <summary>0.85: where the piece and its margin fill more of the photo than this, cropping gains nothing.</summary>
    private const double CropBelowShare = 0.85;

    /// <summary>1.8: scale marks stay in view as long as they do not make the view larger than this many times.</summary>
    private const double MarksMayEnlarge = 1.8;

    /// <summary>1.78: a crop is no flatter than a phone's widest photo (16:9), where the photo has the height.</summary>
    private const double FlattestCrop = 16 / 9.0;

    /// <summary>2.15: a view longer than this many times its height is cut: verdict, numbers and caution take 0.278 of the width, 0.6 of a height of 0.465.</summary>
    private const double CutFromAspect = 2.15;

    /// <summary>4: length over height that a part aims at.</summary>
    private const double PartAspect = 4;

    private const int PartsAtMost = 8;

    /// <summary>8 px between parts.</summary>
    private const int GapPx = 8;

    /// <summary>2600 px: parts that stand under one another get smaller rather than make the picture higher than this.</summary>
    private const int PartsHighAtMostPx = 2600;

    private readonly SKRectI[] _crops;
    private readonly SKSizeI[] _sizes;
    private readonly bool _sideBySide;

    public PicturePlan(int photoWidth, int photoHeight, Measurement measurement)
    {
        var view = CropFor(photoWidth, photoHeight, measurement);
        _sideBySide = view.Height > view.Width;
        _crops = Cut(view);
        var longSide = Math.Max(_crops.Max(c => c.Height), _crops.Max(c => c.Width));
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
            scale = _crops.Length > 1 ? OfParts()
                : longSide > LongSideAtMostPx ? LongSideAtMostPx / (double)longSide
                : longSide < LongSideAtLeastPx ? LongSideAtLeastPx / (double)longSide
                : 1;
        }

        _sizes = [.. _crops.Select(c => new SKSizeI(Math.Max(1, (int)Math.Round(c.Width * scale)), Math.Max(1, (int)Math.Round(c.Height * scale))))];
        var photosWidth = _sideBySide ? _sizes.Sum(s => s.Width) : _sizes.Max(s => s.Width);
        CanvasWidth = Math.Max(photosWidth + (_sideBySide ? (_crops.Length - 1) * GapPx : 0), CanvasWidthAtLeastPx);
        Style = new PictureStyle(CanvasWidth);
        PhotoHeight = _sideBySide ? _sizes.Max(s => s.Height) : _sizes.Sum(s => s.Height);
    }

    public PictureStyle Style { get; }

    public int CanvasWidth { get; }

    /// <summary>Of all that is shown of the photo, px on the canvas.</summary>
    public int PhotoHeight { get; }

    /// <summary>What the photo and the gaps between its parts take, px.</summary>
    public int StagesHeight => PhotoHeight + (_sideBySide ? 0 : (_crops.Length - 1) * GapPx);

    /// <summary>Room beside the photo, px: for verdict, numbers, marks and caution.</summary>
    public int PanelsAtMostPx => (int)(HighestOfPhoto * PhotoHeight) - StagesHeight;

    /// <summary>The parts from this far down the canvas.</summary>
    public IReadOnlyList<PictureFrame> Frames(int topPx)
    {
        var frames = new List<PictureFrame>(_crops.Length);
        var used = _sideBySide ? _sizes.Sum(s => s.Width) + ((_crops.Length - 1) * GapPx) : 0;
        int x = (CanvasWidth - used) / 2, y = topPx;
        for (var i = 0; i < _crops.Length; i++)
        {
            var size = _sizes[i];
            var left = _sideBySide ? x : (CanvasWidth - size.Width) / 2;
            var area = SKRect.Create(left, y, size.Width, size.Height);
            var stage = _crops.Length > 1 ? area : SKRect.Create(0, y, CanvasWidth, size.Height);
            frames.Add(new PictureFrame(_crops[i], size, Style, stage, area, PartName(i)));
            if (_sideBySide)
                x += size.Width + GapPx;
            else
                y += size.Height + GapPx;
        }

        return frames;
    }

    /// <summary>Side by side they fill the width or the height; under one another the width, unless the picture would get too high.</summary>
    private double OfParts() => _sideBySide
        ? Math.Min(LongSideAtMostPx / (double)_crops.Max(c => c.Height), (LongSideAtMostPx - ((_crops.Length - 1) * GapPx)) / (double)_crops.Sum(c => c.Width))
        : Math.Clamp(PartsHighAtMostPx / (double)_crops.Sum(c => c.Height), CanvasWidthAtLeastPx / (double)_crops.Max(c => c.Width), LongSideAtMostPx / (double)_crops.Max(c => c.Width));

    private string? PartName(int i) => _crops.Length == 1 ? null
        : _sideBySide ? $"{Figures.Whole(i + 1)}/{Figures.Whole(_crops.Length)}"
        : $"part {Figures.Whole(i + 1)} of {Figures.Whole(_crops.Length)}";

    private static SKRectI[] Cut(SKRectI view)
    {
        var (length, height) = (Math.Max(view.Width, view.Height), Math.Min(view.Width, view.Height));
        var aspect = length / (double)height;
        // n parts under one another leave the panels n times the room: the root keeps even the flattest within HighestOfPhoto.
        var parts = view.Width < view.Height
            ? aspect <= PartAspect ? 1 : (int)Math.Clamp(Math.Round(Math.Sqrt(aspect / 2)), 2, PartsAtMost)
            : aspect <= CutFromAspect ? 1
            : (int)Math.Max(Math.Clamp(Math.Ceiling(aspect / PartAspect), 2, PartsAtMost), Math.Ceiling(Math.Sqrt(aspect / CutFromAspect)));
        parts = Math.Min(parts, length);
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

        near = Deepened(near, whole);
        return Area(near) > CropBelowShare * Area(whole) ? whole : near;
    }

    /// <summary>A flat crop takes in more of the photo above and below, evenly as far as there is any: it costs no size on the canvas.</summary>
    private static SKRectI Deepened(SKRectI near, SKRectI whole)
    {
        var height = Math.Min(whole.Height, (int)Math.Ceiling(near.Width / FlattestCrop));
        if (near.Height >= height)
            return near;
        var top = Math.Clamp(near.Top - ((height - near.Height) / 2), 0, whole.Height - height);
        return new SKRectI(near.Left, top, near.Right, top + height);
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
