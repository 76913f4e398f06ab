namespace GrainVision.Synthesis;

/// <summary>A steel rule lying in the plane of the surface: brushed, slightly scratched, ticks engraved and blackened.</summary>
internal sealed class RuleLayer : Layer
{
    private readonly Picture _engraving;
    private readonly RuleLook _look;
    private readonly float _lengthMm;
    private readonly Gloss _gloss;

    public RuleLayer(PlaneMap pxFromMm, RuleSpec spec, RuleLook look, Gloss gloss, double photoPixelsPerMm)
        : base(pxFromMm, [(0, 0), (spec.LengthMm, 0), (spec.LengthMm, spec.WidthMm), (0, spec.WidthMm)])
    {
        // Twice the photo's scale, sampled 2 x 2 a pixel: no tick falls between samples.
        _engraving = RuleDrawing.Draw(spec, Math.Clamp(photoPixelsPerMm * 2, 8, 40));
        _look = look;
        _gloss = gloss;
        _lengthMm = (float)spec.LengthMm;
    }

    protected override void Shade(Block block, Bilinear x, Bilinear y, float pitch, float[] bgr)
    {
        var shiny = _gloss.Reaches(block);
        var k = (float)_engraving.PixelsPerMm;
        var (xr, xd) = x.Gradient();
        var (yr, yd) = y.Gradient();
        for (var row = 0; row < block.Height; row++)
        {
            float px = x.StartOf(row), py = y.StartOf(row);
            float dx = x.StepOf(row), dy = y.StepOf(row);
            var at = row * Block.Size * 3;
            for (var col = 0; col < block.Width; col++, px += dx, py += dy, at += 3)
            {
                var ink = 0f;
                for (var s = 0; s < 4; s++)
                {
                    var ox = (s & 1) - 0.5f;
                    var oy = (s >> 1) - 0.5f;
                    var sx = px + (0.5f * ((ox * xr) + (oy * xd)));
                    var sy = py + (0.5f * ((ox * yr) + (oy * yd)));
                    ink += _engraving.At(sx * k, sy * k, 0);
                }

                ink *= _look.InkDarkness / (4 * 255f);
                var brushed = (0.05f * Noise.At(px / 11f, py / 0.12f, 2.5f)) + (0.04f * Noise.At(px / 60f, py / 1.5f, 6.5f));
                var sheen = _look.Sheen * MathF.Exp(-Square((px - (_look.SheenAt * _lengthMm)) / (0.22f * _lengthMm)));
                var scratch = _look.Wear * Math.Max(0, Noise.At((px + (py * 2.3f)) / 25f, (py - (px * 0.4f)) / 0.4f, 15.5f) - 0.8f) * 2;
                var rust = _look.Wear * Math.Max(0, Noise.At(px / 6f, py / 5f, 25.5f) + (0.4f * Noise.At(px / 1.2f, py / 1.2f, 28.5f)) - 0.75f);
                var steel = (_look.Brightness + sheen) * (1 + brushed + scratch - rust);
                if (shiny)
                    steel += _gloss.At(block.X0 + col, block.Y0 + row);
                var v = steel * (1 - ink);
                bgr[at] = v * (1.00f - (0.5f * rust));
                bgr[at + 1] = v * (0.985f - (0.25f * rust));
                bgr[at + 2] = v * 0.955f;
            }
        }
    }

    private static float Square(float v) => v * v;
}

/// <summary>How a rule looks in this light.</summary>
/// <param name="Brightness">Linear brightness of the steel, 0.15 to 0.6.</param>
/// <param name="Sheen">Brightness of the broad reflection on it.</param>
/// <param name="SheenAt">Where that is, 0 to 1 along the rule.</param>
/// <param name="InkDarkness">Darkness of the ticks, 0 to 1.</param>
/// <param name="Wear">Scratches and rust, 0 to 1.</param>
public sealed record RuleLook(float Brightness, float Sheen, float SheenAt, float InkDarkness, float Wear);
