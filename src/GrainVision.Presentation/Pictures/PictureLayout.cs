using GrainVision.Grading.Findings;
using SkiaSharp;

namespace GrainVision.Presentation.Pictures;

/// <summary>
/// Where everything stands in a picture: verdict, photo, five numbers, key of the marks, scale and caution. Reason and key take as many lines as
/// <see cref="PicturePlan.HighestOfPhoto"/> leaves them.
/// </summary>
internal sealed class PictureLayout
{
    private readonly VerdictBanner _banner;
    private readonly NumberTiles _tiles;
    private readonly MarkKey _key;
    private readonly Footer _footer;

    public PictureLayout(int photoWidth, int photoHeight, Measurement measurement)
    {
        var plan = new PicturePlan(photoWidth, photoHeight, measurement);
        (Style, Width) = (plan.Style, plan.CanvasWidth);
        _tiles = new NumberTiles(Style, measurement, Width);
        _footer = new Footer(Style, measurement, plan.Frames(0)[0].Magnification, Width);
        var room = plan.PanelsAtMostPx - _tiles.HeightPx - _footer.HeightPx;
        _banner = new VerdictBanner(Style, measurement, Width, room - new VerdictBanner(Style, measurement, Width, 0).HeightPx);
        _key = new MarkKey(Style, measurement, Width, room - _banner.HeightPx);
        Frames = plan.Frames(_banner.HeightPx);
        StagesEnd = StagesTop + plan.StagesHeight;
    }

    public PictureStyle Style { get; }

    public int Width { get; }

    public IReadOnlyList<PictureFrame> Frames { get; }

    public int StagesTop => _banner.HeightPx;

    public int StagesEnd { get; }

    public int Height => StagesEnd + _tiles.HeightPx + _key.HeightPx + _footer.HeightPx;

    /// <summary>Whether the numbered marks are named below the photo.</summary>
    public bool HasKey => _key.HeightPx > 0;

    /// <summary>The frame that shows a point of the upright photo; null where none does.</summary>
    public PictureFrame? FrameOf(SKPoint photoPx) => Frames.FirstOrDefault(f => photoPx.X >= f.Crop.Left && photoPx.X < f.Crop.Right && photoPx.Y >= f.Crop.Top && photoPx.Y < f.Crop.Bottom);

    public void DrawPanels(OverlayCanvas ink)
    {
        _banner.Draw(ink.Canvas);
        _tiles.Draw(ink, StagesEnd);
        _key.Draw(ink, StagesEnd + _tiles.HeightPx);
        _footer.Draw(ink.Canvas, StagesEnd + _tiles.HeightPx + _key.HeightPx);
    }
}
