namespace GrainVision.Synthesis;

/// <summary>What lies behind the piece.</summary>
public enum Bench
{
    DarkGreen,
    GreyConcrete,
    BlueCloth,
    DarkWood,
    LightWood,
    Black,
}

/// <summary>The bench or floor behind the piece, with the piece's soft shadow.</summary>
internal sealed class BenchLayer : Layer
{
    private readonly Bench _bench;
    private readonly (float B, float G, float R) _colour;
    private readonly float _offsetX;
    private readonly float _offsetY;
    private readonly IReadOnlyList<ShadowCaster> _shadows;
    private readonly double[] _shadow = new double[4];

    public BenchLayer(Scene scene, PlaneMap pxFromMm, IReadOnlyList<ShadowCaster> shadows)
        : base(pxFromMm, null)
    {
        _bench = scene.Bench;
        _shadows = shadows;
        _offsetX = scene.Seed % 97 * 13.7f;
        _offsetY = scene.Seed % 89 * 17.3f;
        _colour = (_bench switch
        {
            Bench.DarkGreen => new Srgb(44, 74, 56),
            Bench.GreyConcrete => new Srgb(134, 131, 126),
            Bench.BlueCloth => new Srgb(52, 72, 112),
            Bench.DarkWood => new Srgb(96, 66, 44),
            Bench.LightWood => new Srgb(196, 160, 118),
            _ => new Srgb(24, 24, 26),
        }).Linear();
    }

    protected override void Shade(Block block, Bilinear x, Bilinear y, float pitch, float[] bgr)
    {
        Span<double> xs = stackalloc double[4];
        Span<double> ys = stackalloc double[4];
        for (var i = 0; i < 4; i++)
        {
            xs[i] = x.StartOf((i >> 1) * Block.Size) + (x.StepOf((i >> 1) * Block.Size) * (i & 1) * Block.Size);
            ys[i] = y.StartOf((i >> 1) * Block.Size) + (y.StepOf((i >> 1) * Block.Size) * (i & 1) * Block.Size);
            var dark = 1.0;
            foreach (var caster in _shadows)
                dark *= caster.LightAt(xs[i], ys[i]);
            _shadow[i] = dark;
        }

        var shade = Bilinear.Of(_shadow);
        for (var row = 0; row < block.Height; row++)
        {
            float px = x.StartOf(row) + _offsetX, py = y.StartOf(row) + _offsetY, s = shade.StartOf(row);
            float dx = x.StepOf(row), dy = y.StepOf(row), ds = shade.StepOf(row);
            var at = row * Block.Size * 3;
            for (var col = 0; col < block.Width; col++, px += dx, py += dy, s += ds, at += 3)
            {
                var k = s * Texture(px, py, pitch);
                bgr[at] = _colour.B * k;
                bgr[at + 1] = _colour.G * k;
                bgr[at + 2] = _colour.R * k;
            }
        }
    }

    private float Texture(float x, float y, float pitch)
    {
        switch (_bench)
        {
            case Bench.GreyConcrete:
                return 1 + (0.12f * Noise.At(x / 0.7f, y / 0.7f)) + (0.10f * Noise.At(x / 6f, y / 6f)) + (0.12f * Noise.At(x / 45f, y / 45f))
                    - (0.5f * Math.Max(0, Noise.At(x / 1.9f, y / 1.9f, 4.5f) - 0.72f));
            case Bench.BlueCloth:
                var fade = Math.Clamp((0.6f / pitch) - 1, 0, 1);
                return 1 + (fade * 0.22f * MathF.Sin(x * 10.5f) * MathF.Sin(y * 10.5f)) + (0.10f * Noise.At(x / 1.1f, y / 3f)) + (0.15f * Noise.At(x / 35f, y / 50f));
            case Bench.DarkWood or Bench.LightWood:
                return 1 + (0.16f * Noise.At(x / 30f, y / 0.8f)) + (0.14f * Noise.At(x / 90f, y / 4f)) + (0.15f * MathF.Sin((y / 3f) + (4 * Noise.At(x / 120f, y / 30f))));
            case Bench.DarkGreen:
                return 1 + (0.06f * Noise.At(x / 0.9f, y / 0.9f)) + (0.10f * Noise.At(x / 25f, y / 25f)) + (0.6f * Math.Max(0, Noise.At(x / 14f, y / 0.5f, 8.5f) - 0.8f));
            default:
                return 1 + (0.15f * Noise.At(x / 3f, y / 3f)) + (0.2f * Noise.At(x / 30f, y / 30f));
        }
    }
}

/// <summary>Something that keeps light off the bench: a rectangle, its shadow shifted and soft.</summary>
/// <param name="Corners">Convex outline on the bench, mm, clockwise as seen.</param>
/// <param name="ShiftX">Shift of the shadow, mm.</param>
/// <param name="ShiftY">Shift of the shadow, mm.</param>
/// <param name="SoftMm">Width of the half-shadow, mm.</param>
/// <param name="Depth">Darkness of the shadow, 0 to 1.</param>
internal sealed record ShadowCaster(IReadOnlyList<(double X, double Y)> Corners, double ShiftX, double ShiftY, double SoftMm, double Depth)
{
    public double LightAt(double x, double y)
    {
        x -= ShiftX;
        y -= ShiftY;
        var inside = double.MaxValue;
        for (var e = 0; e < Corners.Count; e++)
        {
            var (ax, ay) = Corners[e];
            var (bx, by) = Corners[(e + 1) % Corners.Count];
            var dx = bx - ax;
            var dy = by - ay;
            inside = Math.Min(inside, (((x - ax) * -dy) + ((y - ay) * dx)) / Math.Sqrt((dx * dx) + (dy * dy)));
        }

        var t = Math.Clamp(0.5 + (inside / SoftMm), 0, 1);
        return 1 - (Depth * t * t * (3 - (2 * t)));
    }
}
