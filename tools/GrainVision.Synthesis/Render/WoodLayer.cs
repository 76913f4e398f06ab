namespace GrainVision.Synthesis;

/// <summary>A plane cut through the log, shaded from the log's own map: end, face or side of a piece.</summary>
internal sealed class WoodLayer : Layer
{
    private readonly Scene scene;
    private readonly WoodPlane plane;
    private readonly RingTable rings;
    private readonly SurfaceFinish finish;
    private readonly (float B, float G, float R) early;
    private readonly (float B, float G, float R) late;
    private readonly (float B, float G, float R) heart;
    private readonly float light;
    private readonly bool end;
    private readonly double[] qx = new double[4];
    private readonly double[] qy = new double[4];
    private readonly double[] z = new double[4];
    private readonly double[] arc = new double[4];
    private readonly double[] tone = new double[4];
    private readonly double[] sap = new double[4];

    public WoodLayer(Scene scene, WoodPlane plane, PlaneMap pxFromMm, IReadOnlyList<(double X, double Y)> rim, RingTable rings, float light)
        : base(pxFromMm, rim)
    {
        this.scene = scene;
        this.plane = plane;
        this.rings = rings;
        this.light = light;
        end = plane.IsEnd;
        finish = end ? scene.EndFinish : scene.FaceFinish;
        // End grain swallows light: about a quarter darker than a planed face.
        var dim = (float)(light * (end ? 0.74 : 1) * scene.Look.Brightness);
        early = Scale(scene.Look.Species.Early.Linear(), dim);
        late = Scale(scene.Look.Species.Late.Linear(), dim);
        var (r, g, b) = scene.Look.Species.Heart;
        heart = ((float)Math.Pow(b, 2.2), (float)Math.Pow(g, 2.2), (float)Math.Pow(r, 2.2));
    }

    protected override double RimRoughnessMm => finish.ArrisRoughnessMm * 2;

    protected override float RimOffset(float x, float y)
    {
        var rough = (float)finish.ArrisRoughnessMm;
        return rough * (Noise.At(x / 1.7f, y / 1.7f, 3.5f) + (0.7f * Noise.At(x / 0.5f, y / 0.5f, 9.5f)));
    }

    protected override void Shade(Block block, Bilinear x, Bilinear y, float pitch, float[] bgr)
    {
        Prepare(x, y);
        var qxs = Bilinear.Of(qx);
        var qys = Bilinear.Of(qy);
        var zs = Bilinear.Of(z);
        var arcs = Bilinear.Of(arc);
        var tones = Bilinear.Of(tone);
        var saps = Bilinear.Of(sap);
        var (qxr, qxd) = qxs.Gradient();
        var (qyr, qyd) = qys.Gradient();
        // Texture finer than two pixels fades out instead of turning into moiré.
        var fine = (float)scene.Look.FibreMm;
        var fibreAmount = (float)scene.Look.FibreContrast * Fade(fine, pitch);
        var coarseAmount = (float)scene.Look.FibreContrast * 0.8f;
        var rayAmount = (float)scene.Look.RayContrast * Fade(0.22f, pitch);
        for (var row = 0; row < block.Height; row++)
        {
            float a = qxs.StartOf(row), b = qys.StartOf(row), c = zs.StartOf(row), d = arcs.StartOf(row), t = tones.StartOf(row), s = saps.StartOf(row);
            float px = x.StartOf(row), py = y.StartOf(row);
            float da = qxs.StepOf(row), db = qys.StepOf(row), dc = zs.StepOf(row), dd = arcs.StepOf(row), dt = tones.StepOf(row), ds = saps.StepOf(row);
            float dx = x.StepOf(row), dy = y.StepOf(row);
            var at = row * Block.Size * 3;
            for (var col = 0; col < block.Width; col++)
            {
                var u = MathF.Sqrt((a * a) + (b * b));
                var inverse = 1 / MathF.Max(u, 0.05f);
                var gr = ((a * qxr) + (b * qyr)) * inverse;
                var gd = ((a * qxd) + (b * qyd)) * inverse;
                var half = MathF.Max(0.5f * MathF.Sqrt((gr * gr) + (gd * gd)), 0.008f);
                var dark = rings.Mean(u, half);
                float texture;
                if (end)
                {
                    texture = (fibreAmount * Noise.At(a / fine, b / fine, 0.37f))
                        + (rayAmount * Noise.At(d / 0.22f, u / 7f))
                        + (0.6f * rayAmount * Noise.At(d / 0.6f, u / 16f, 11.3f))
                        + (coarseAmount * 0.5f * Noise.At(a / 1.3f, b / 1.3f, 5.2f));
                }
                else
                {
                    texture = (fibreAmount * Noise.At(a / fine, b / fine, c / 14f))
                        + (coarseAmount * Noise.At((a / 0.55f) + 7, b / 0.55f, c / 45f))
                        + (rayAmount * 0.5f * Noise.At(u / 5f, d / 0.25f, c / 0.7f));
                }

                var mix = dark * (1 + (0.25f * t));
                var shade = MathF.Max(0.1f, (1 + texture + t) * finish.Factor(px, py, pitch));
                bgr[at] = (early.B + (mix * (late.B - early.B))) * shade * (1 + (s * (heart.B - 1)));
                bgr[at + 1] = (early.G + (mix * (late.G - early.G))) * shade * (1 + (s * (heart.G - 1)));
                bgr[at + 2] = (early.R + (mix * (late.R - early.R))) * shade * (1 + (s * (heart.R - 1)));
                Pith(u, at, bgr);
                a += da;
                b += db;
                c += dc;
                d += dd;
                t += dt;
                s += ds;
                px += dx;
                py += dy;
                at += 3;
            }
        }
    }

    private void Prepare(Bilinear x, Bilinear y)
    {
        Span<double> xs = stackalloc double[4];
        Span<double> ys = stackalloc double[4];
        Corners(x, xs);
        Corners(y, ys);
        var first = 0.0;
        for (var i = 0; i < 4; i++)
        {
            var p = plane.At(xs[i], ys[i]);
            (qx[i], qy[i]) = scene.Log.FibreAt(p);
            z[i] = p.Z;
            var angle = Math.Atan2(qy[i], qx[i]);
            if (i == 0)
                first = angle;
            angle -= 2 * Math.PI * Math.Round((angle - first) / (2 * Math.PI));
            arc[i] = angle * plane.ReferenceRadiusMm;
            var u = Math.Sqrt((qx[i] * qx[i]) + (qy[i] * qy[i]));
            var cloud = Noise.At((float)(qx[i] / 23), (float)(qy[i] / 23), (float)(p.Z / 160)) + (0.6 * Noise.At((float)(qx[i] / 9), (float)(qy[i] / 9), (float)(p.Z / 70)));
            tone[i] = scene.Look.CloudContrast * cloud;
            var edge = scene.Look.SapwoodFromMm + (3 * Noise.At((float)(qx[i] / 30), (float)(qy[i] / 30), (float)(p.Z / 300)));
            sap[i] = Math.Clamp((edge - u) / 4, 0, 1) * scene.Look.HeartwoodStrength;
        }
    }

    /// <summary>The pith: a soft brown core about 2 mm across.</summary>
    private void Pith(float u, int at, float[] bgr)
    {
        const float radius = 1.3f;
        if (u > radius + 0.4f)
            return;
        var k = Math.Clamp((radius + 0.2f - u) / 0.4f, 0, 1) * 0.75f;
        bgr[at] += k * ((0.028f * light) - bgr[at]);
        bgr[at + 1] += k * ((0.060f * light) - bgr[at + 1]);
        bgr[at + 2] += k * ((0.13f * light) - bgr[at + 2]);
    }

    private static float Fade(float periodMm, float pitch) => Math.Clamp((periodMm / pitch) - 0.4f, 0.25f, 1);

    private static void Corners(Bilinear f, Span<double> to)
    {
        to[0] = f.StartOf(0);
        to[1] = to[0] + (f.StepOf(0) * Block.Size);
        to[2] = f.StartOf(Block.Size);
        to[3] = to[2] + (f.StepOf(Block.Size) * Block.Size);
    }

    private static (float B, float G, float R) Scale((float B, float G, float R) c, float k) => (c.B * k, c.G * k, c.R * k);
}
