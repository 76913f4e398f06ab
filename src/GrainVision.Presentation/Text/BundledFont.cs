using SkiaSharp;

namespace GrainVision.Presentation.Text;

/// <summary>
/// DejaVu Sans, carried inside this assembly (licence in <c>Fonts/LICENSE-DejaVu.txt</c>): text looks the same on every machine,
/// and none needs a font installed. Safe to use from many threads.
/// </summary>
public static class BundledFont
{
    private static readonly Lazy<SKTypeface> RegularFace = new(() => Load("DejaVuSans.ttf"));
    private static readonly Lazy<SKTypeface> BoldFace = new(() => Load("DejaVuSans-Bold.ttf"));

    /// <summary>Regular weight. Shared: never dispose it.</summary>
    public static SKTypeface Regular => RegularFace.Value;

    /// <summary>Bold weight. Shared: never dispose it.</summary>
    public static SKTypeface Bold => BoldFace.Value;

    /// <summary>
    /// A font of this size in px; the caller disposes it. No hinting and no sub-pixel placing, because both depend on
    /// settings outside the program and the same measurement must give the same bytes.
    /// </summary>
    public static SKFont Create(float sizePx, bool bold = false) => new(bold ? Bold : Regular, sizePx)
    {
        Edging = SKFontEdging.Antialias,
        Hinting = SKFontHinting.None,
        Subpixel = false,
        LinearMetrics = true,
    };

    private static SKTypeface Load(string file)
    {
        var name = "GrainVision.Fonts." + file;
        using var stream = typeof(BundledFont).Assembly.GetManifestResourceStream(name)
            ?? throw new InvalidOperationException($"The font {name} is missing from the assembly.");
        using var data = SKData.Create(stream);
        return SKTypeface.FromData(data) ?? throw new InvalidOperationException($"The font {name} cannot be read.");
    }
}
