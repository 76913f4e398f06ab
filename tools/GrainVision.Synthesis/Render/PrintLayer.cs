namespace GrainVision.Synthesis;

/// <summary>Something printed on office paper by a laser printer, lying in the plane of the surface; origin at its top-left corner.</summary>
internal sealed class PrintLayer : Layer
{
    /// <summary>0.80 and 0.045: linear brightness of white paper and of toner; common figures, no source.</summary>
    private const float Paper = 0.80f;

    private const float Toner = 0.045f;

    private readonly Picture _print;

    public PrintLayer(PlaneMap pxFromMm, Picture print, double widthMm, double heightMm)
        : base(pxFromMm, [(0, 0), (widthMm, 0), (widthMm, heightMm), (0, heightMm)])
    {
        _print = print;
    }

    protected override void Shade(Block block, Bilinear x, Bilinear y, float pitch, float[] bgr)
    {
        var k = (float)_print.PixelsPerMm;
        var (xr, xd) = x.Gradient();
        var (yr, yd) = y.Gradient();
        Span<float> white = stackalloc float[3];
        for (var row = 0; row < block.Height; row++)
        {
            float px = x.StartOf(row), py = y.StartOf(row), dx = x.StepOf(row), dy = y.StepOf(row);
            var at = row * Block.Size * 3;
            for (var col = 0; col < block.Width; col++, px += dx, py += dy, at += 3)
            {
                for (var s = 0; s < 4; s++)
                {
                    var ox = 0.5f * ((s & 1) - 0.5f);
                    var oy = 0.5f * ((s >> 1) - 0.5f);
                    for (var c = 0; c < _print.Channels; c++)
                        white[c] += _print.At((px + (ox * xr) + (oy * xd)) * k, (py + (ox * yr) + (oy * yd)) * k, c);
                }

                var sheet = 1 + (0.015f * Noise.At(px / 0.4f, py / 0.4f, 3.3f)) + (0.03f * Noise.At(px / 40f, py / 30f, 5.3f));
                for (var c = 0; c < 3; c++)
                {
                    // Black and white need no tone curve; colours are written by it.
                    var share = _print.Channels == 1 ? white[0] / (4 * 255f) : Tone.ToLinear(white[c] / (4 * 255f));
                    bgr[at + c] = (Toner + (share * (Paper - Toner))) * sheet * (1.01f - (0.01f * c));
                }

                white.Clear();
            }
        }
    }
}
