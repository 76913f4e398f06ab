using GrainVision.Grading.Findings;
using SkiaSharp;

namespace GrainVision.Presentation.Pictures;

/// <summary>
/// Sizes and colours of one picture. Every size follows the width of the photo on the canvas, so that a picture
/// looks the same on a phone whatever camera took it.
/// </summary>
/// <remarks>
/// Lines are a light core in a near-black casing: one of the two stands out on any wood. The cores differ in brightness and
/// pattern as well as in hue, so that they stay apart for colour-blind eyes and on a grey print.
/// </remarks>
internal sealed class PictureStyle(float photoWidthPx)
{
    public static readonly SKColor Casing = new(0x0C, 0x10, 0x14);
    public static readonly SKColor Panel = new(0x15, 0x1A, 0x1F);
    public static readonly SKColor Gutter = new(0x2B, 0x32, 0x38);
    public static readonly SKColor Text = new(0xF7, 0xF7, 0xF2);
    public static readonly SKColor QuietText = new(0xC6, 0xCE, 0xD4);

    /// <summary>Ground of the line samples beside the numbers: they look there as they do on wood.</summary>
    public static readonly SKColor SampleWood = new(0xB9, 0x9A, 0x6B);

    public static readonly SKColor Outline = SKColors.White;
    public static readonly SKColor Axis = new(0xDD, 0xE3, 0xE8);
    public static readonly SKColor Ring = new(0xFF, 0xEE, 0x70);
    public static readonly SKColor WorstInch = new(0x5C, 0xC8, 0xFF);
    public static readonly SKColor Tangent = new(0xFF, 0xA6, 0xE0);
    public static readonly SKColor Grain = new(0x7D, 0xF0, 0xE0);
    public static readonly SKColor Blemish = new(0xFF, 0xA5, 0x45);
    public static readonly SKColor ScaleMark = new(0xD9, 0xC9, 0xFF);

    /// <summary>1/44 of the photo's width: labels on the wood and small words beside it, about 9 px on a phone 390 px wide.</summary>
    public float LabelPx { get; } = photoWidthPx / 44;

    /// <summary>1/40: the reason and the caution.</summary>
    public float BodyPx { get; } = photoWidthPx / 40;

    /// <summary>1/30: the five numbers.</summary>
    public float NumberPx { get; } = photoWidthPx / 30;

    /// <summary>1/17: the verdict, readable at arm's length.</summary>
    public float VerdictPx { get; } = photoWidthPx / 17;

    /// <summary>1/420: the light core of a main line, about one pixel on that phone.</summary>
    public float CorePx { get; } = photoWidthPx / 420;

    /// <summary>1/60: space between a panel's edge and its text.</summary>
    public float MarginPx { get; } = photoWidthPx / 60;

    /// <summary>Ground and text colour of the banner. Blue, amber and dark red differ in brightness too: dark, light, darkest.</summary>
    public static (SKColor Ground, SKColor Ink) Banner(VerdictOutcome? outcome) => outcome switch
    {
        VerdictOutcome.Accept => (new SKColor(0x0F, 0x5C, 0xA8), SKColors.White),
        VerdictOutcome.Hold => (new SKColor(0xFF, 0xC2, 0x2E), SKColors.Black),
        VerdictOutcome.Reject => (new SKColor(0x6B, 0x12, 0x10), SKColors.White),
        _ => (new SKColor(0x46, 0x50, 0x58), SKColors.White),
    };
}
