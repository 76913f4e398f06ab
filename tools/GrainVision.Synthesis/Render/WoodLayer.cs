namespace GrainVision.Synthesis;

/// <summary>A plane cut through the log, shaded from the log's own map: end, face or side of a piece.</summary>
internal sealed class WoodLayer : Layer
{
    private readonly Scene _scene;
    private readonly WoodPlane _plane;
    private readonly RingTable _rings;
    private readonly SurfaceFinish _finish;
    private readonly (float B, float G, float R) _early;
    private readonly (float B, float G, float R) _late;
    private readonly (float B, float G, float R) _heart;
    private readonly float _light;
    private readonly bool _end;
    private readonly double[] _qx = new double[4];
    private readonly double[] _qy = new double[4];
    private readonly double[] _z = new double[4];
    private readonly double[] _arc = new double[4];
    private readonly double[] _tone = new double[4];
    private readonly double[] _heartwood = new double[4];
    private readonly IReadOnlyList<Feature> _features;
    private readonly List<Feature> _active = [];
    private readonly float _lateStrength;
    private readonly Gloss _gloss;
    private readonly WoodMask? _mask;

    public WoodLayer(Scene scene, WoodPlane plane, PlaneMap pxFromMm, IReadOnlyList<(double X, double Y)> rim, RingTable rings, float light, IReadOnlyList<Feature> features, ClassMask? mask = null)
        : base(pxFromMm, rim)
    {
        _scene = scene;
        _plane = plane;
        _rings = rings;
        _light = light;
        _features = features;
        _end = plane.IsEnd;
        // End grain is matt: half a planed face's reflection.
        _gloss = new Gloss(scene.Optics, scene.Camera, _end ? 0.5 : 1);
        _finish = _end ? scene.EndFinish : scene.FaceFinish;
        // End grain swallows light: about a quarter darker than a planed face, and flatter in contrast.
        _lateStrength = _end ? 0.78f : 1;
        var dim = (float)(light * (_end ? 0.74 : 1) * scene.Look.Brightness);
        _early = Scale(scene.Look.Species.Early.Linear(), dim);
        _late = Scale(scene.Look.Species.Late.Linear(), dim);
        _mask = mask is null ? null : new WoodMask(scene, _finish, _gloss, mask);
        var (r, g, b) = scene.Look.Species.Heart;
        _heart = ((float)Math.Pow(b, 2.2), (float)Math.Pow(g, 2.2), (float)Math.Pow(r, 2.2));
    }

    protected override double RimRoughnessMm => _finish.ArrisRoughnessMm * 2;

    protected override float RimOffset(float x, float y)
    {
        var rough = (float)_finish.ArrisRoughnessMm;
        return rough * (Noise.At(x / 1.7f, y / 1.7f, 3.5f) + (0.7f * Noise.At(x / 0.5f, y / 0.5f, 9.5f)));
    }

    protected override void Shade(Block block, Bilinear x, Bilinear y, float pitch, float[] bgr)
    {
        Prepare(x, y);
        var qxs = Bilinear.Of(_qx);
        var qys = Bilinear.Of(_qy);
        var zs = Bilinear.Of(_z);
        var arcs = Bilinear.Of(_arc);
        var tones = Bilinear.Of(_tone);
        var hearts = Bilinear.Of(_heartwood);
        var slopes = (qxs.Gradient(), qys.Gradient());
        var disturbed = Disturbed(pitch);
        FindFeatures(x, y);
        var texture = new TextureScale(_scene.Look, pitch);
        var shiny = _gloss.Reaches(block);
        var ground = new Light { B = _early.B, G = _early.G, R = _early.R };
        for (var row = 0; row < block.Height; row++)
        {
            float a = qxs.StartOf(row), b = qys.StartOf(row), c = zs.StartOf(row), d = arcs.StartOf(row), t = tones.StartOf(row), s = hearts.StartOf(row);
            float px = x.StartOf(row), py = y.StartOf(row);
            float da = qxs.StepOf(row), db = qys.StepOf(row), dc = zs.StepOf(row), dd = arcs.StepOf(row), dt = tones.StepOf(row), ds = hearts.StepOf(row);
            float dx = x.StepOf(row), dy = y.StepOf(row);
            var at = row * Block.Size * 3;
            for (var col = 0; col < block.Width; col++, at += 3)
            {
                var light = default(Light);
                var shown = 0;
                if (disturbed)
                {
                    double ua = a, ub = b;
                    _scene.Log.Disturb(ref ua, ref ub, c);
                    Wood((float)ua, (float)ub, c, d, t, s, pitch, slopes, texture, ref light);
                }
                else
                    Wood(a, b, c, d, t, s, pitch, slopes, texture, ref light);

                var shade = _finish.Factor(px, py, pitch);
                light.Dim(MathF.Max(0.1f, shade));
                if (_active.Count > 0)
                {
                    var point = new WoodPoint(px, py, a, b, MathF.Sqrt((a * a) + (b * b)), c, pitch) { Ground = ground };
                    foreach (var feature in _active)
                    {
                        var level = feature.Level(point);
                        feature.Paint(point, level, ref light);
                        if (_mask is not null && feature.Shows(point, level))
                            shown |= feature.ClassBit;
                    }
                }

                _mask?.Mark(block.X0 + col, block.Y0 + row, new WoodPoint(px, py, a, b, MathF.Sqrt((a * a) + (b * b)), c, pitch), s, shown);

                if (shiny)
                {
                    // Saw marks and fibres break the reflection up.
                    var g = _gloss.At(block.X0 + col, block.Y0 + row) * MathF.Max(0, shade + (0.3f * Noise.At(a / 0.3f, b / 0.3f, c / 8f)));
                    light.B += g;
                    light.G += g;
                    light.R += g;
                }

                bgr[at] = light.B;
                bgr[at + 1] = light.G;
                bgr[at + 2] = light.R;
                a += da;
                b += db;
                c += dc;
                d += dd;
                t += dt;
                s += ds;
                px += dx;
                py += dy;
            }
        }
    }

    /// <summary>Clear wood at one pixel.</summary>
    private void Wood(float a, float b, float c, float d, float t, float s, float pitch, ((float Right, float Down) X, (float Right, float Down) Y) slopes, in TextureScale scale, ref Light light)
    {
        var u = MathF.Sqrt((a * a) + (b * b));
        var inverse = 1 / MathF.Max(u, 0.05f);
        var gr = ((a * slopes.X.Right) + (b * slopes.Y.Right)) * inverse;
        var gd = ((a * slopes.X.Down) + (b * slopes.Y.Down)) * inverse;
        var half = MathF.Max(0.5f * MathF.Sqrt((gr * gr) + (gd * gd)), 0.008f);
        // The boundary's own fine unrest: about a cell or two, mean nought, not in the truth.
        var unrest = 0.028f * (Noise.At(d / 0.9f, u / 1.7f, c / 30f) + (0.7f * Noise.At(d / 0.35f, u / 0.8f, (c / 12f) + 9)));
        var dark = _rings.Mean(u + unrest, half);
        var fine = scale.FineMm;
        float texture;
        if (_end)
        {
            texture = (scale.Fibre * Noise.At(a / fine, b / fine, 0.37f))
                + (scale.Ray * Noise.At(d / 0.22f, u / 7f))
                + (0.6f * scale.Ray * Noise.At(d / 0.6f, u / 16f, 11.3f))
                + (scale.Coarse * 0.5f * Noise.At(a / 1.3f, b / 1.3f, 5.2f));
        }
        else
        {
            texture = (scale.Fibre * Noise.At(a / fine, b / fine, c / 14f))
                + (scale.Coarse * Noise.At((a / 0.55f) + 7, b / 0.55f, c / 45f))
                + (0.7f * scale.Coarse * Noise.At((a / 1.9f) + 3, (b / 1.9f) + 5, c / 110f))
                + (scale.Ray * 0.5f * Noise.At(u / 5f, d / 0.25f, c / 0.7f));
        }

        // Latewood is denser and takes the texture more evenly.
        var mix = dark * (1 + (1.2f * t)) * _lateStrength;
        var shade = 1 + (texture * (1 - (0.35f * MathF.Min(dark, 1)))) + t;
        if (_scene.Look.Species.RingPorous)
        {
            var pores = WoodGrainDetail.Pores(a, b, c, _rings, pitch, _end);
            shade *= 1 - (pores * (_end ? 0.62f : 0.42f));
        }
        else if (_scene.Look.Species.ResinDucts)
            shade *= 1 - (0.35f * WoodGrainDetail.Duct(a, b, c, dark, pitch));
        light.B = (_early.B + (mix * (_late.B - _early.B))) * shade * (1 + (s * (_heart.B - 1)));
        light.G = (_early.G + (mix * (_late.G - _early.G))) * shade * (1 + (s * (_heart.G - 1)));
        light.R = (_early.R + (mix * (_late.R - _early.R))) * shade * (1 + (s * (_heart.R - 1)));
        Pith(u, ref light);
    }

    /// <summary>Do knots or indents bend the grain in this block? Then it is worked out pixel by pixel.</summary>
    private bool Disturbed(float pitch)
    {
        if (_scene.Log.Indents.Count == 0 && _scene.Log.Knots.Count == 0)
            return false;
        double mx = (_qx[0] + _qx[1] + _qx[2] + _qx[3]) / 4, my = (_qy[0] + _qy[1] + _qy[2] + _qy[3]) / 4, mz = (_z[0] + _z[1] + _z[2] + _z[3]) / 4;
        var reach = 0.75 * Block.Size * pitch;
        foreach (var knot in _scene.Log.Knots)
        {
            if (!knot.Offset(mx, my, mz, out var u, out var s, out var a))
                continue;
            var flow = Math.Max(knot.FlowRadiusAt(Math.Max(0, u - reach)), knot.FlowRadiusAt(u + reach));
            if (flow > 0 && Math.Sqrt((s * s) + (a * a)) < (5.5 * flow) + reach)
                return true;
        }

        foreach (var indent in _scene.Log.Indents)
        {
            var (sin, cos) = Math.SinCos(indent.ThetaRad);
            if ((mx * cos) + (my * sin) > 0 && Math.Abs((my * cos) - (mx * sin)) < (3.5 * indent.WidthMm) + reach)
                return true;
        }

        return false;
    }

    private void FindFeatures(Bilinear x, Bilinear y)
    {
        _active.Clear();
        if (_features.Count == 0)
            return;
        Span<double> xs = stackalloc double[4];
        Span<double> ys = stackalloc double[4];
        Corners(x, xs);
        Corners(y, ys);
        double left = Least(xs), right = -Least(xs, -1), top = Least(ys), bottom = -Least(ys, -1);
        foreach (var f in _features)
        {
            if (f.CentreX + f.ReachX > left && f.CentreX - f.ReachX < right && f.CentreY + f.ReachY > top && f.CentreY - f.ReachY < bottom)
                _active.Add(f);
        }
    }

    private static double Least(ReadOnlySpan<double> v, double sign = 1) =>
        Math.Min(Math.Min(sign * v[0], sign * v[1]), Math.Min(sign * v[2], sign * v[3]));

    private void Prepare(Bilinear x, Bilinear y)
    {
        Span<double> xs = stackalloc double[4];
        Span<double> ys = stackalloc double[4];
        Corners(x, xs);
        Corners(y, ys);
        var first = 0.0;
        for (var i = 0; i < 4; i++)
        {
            var p = _plane.At(xs[i], ys[i]);
            (_qx[i], _qy[i]) = _scene.Log.ClearFibreAt(p);
            _z[i] = p.Z;
            var angle = Math.Atan2(_qy[i], _qx[i]);
            if (i == 0)
                first = angle;
            angle -= 2 * Math.PI * Math.Round((angle - first) / (2 * Math.PI));
            _arc[i] = angle * _plane.ReferenceRadiusMm;
            var u = Math.Sqrt((_qx[i] * _qx[i]) + (_qy[i] * _qy[i]));
            var cloud = Noise.At((float)(_qx[i] / 23), (float)(_qy[i] / 23), (float)(p.Z / 160)) + (0.6 * Noise.At((float)(_qx[i] / 9), (float)(_qy[i] / 9), (float)(p.Z / 70)));
            _tone[i] = _scene.Look.CloudContrast * cloud;
            var edge = _scene.Look.SapwoodFromMm + (3 * Noise.At((float)(_qx[i] / 30), (float)(_qy[i] / 30), (float)(p.Z / 300)));
            _heartwood[i] = Math.Clamp((edge - u) / 4, 0, 1) * _scene.Look.HeartwoodStrength;
        }
    }

    /// <summary>The pith: a soft brown core about 2 mm across.</summary>
    private void Pith(float u, ref Light to)
    {
        const float radius = 1.3f;
        if (u > radius + 0.4f)
            return;
        to.Fade(Math.Clamp((radius + 0.2f - u) / 0.4f, 0, 1) * 0.75f, 0.028f * _light, 0.060f * _light, 0.13f * _light);
    }

    private static void Corners(Bilinear f, Span<double> to)
    {
        to[0] = f.StartOf(0);
        to[1] = to[0] + (f.StepOf(0) * Block.Size);
        to[2] = f.StartOf(Block.Size);
        to[3] = to[2] + (f.StepOf(Block.Size) * Block.Size);
    }

    private static (float B, float G, float R) Scale((float B, float G, float R) c, float k) => (c.B * k, c.G * k, c.R * k);

    /// <summary>Strength of each texture at one pixel size: texture finer than two pixels fades out instead of turning into moiré.</summary>
    private readonly struct TextureScale(WoodLook look, float pitch)
    {
        public float FineMm { get; } = (float)look.FibreMm;

        public float Fibre { get; } = (float)look.FibreContrast * Fade((float)look.FibreMm, pitch);

        public float Coarse { get; } = (float)look.FibreContrast * 0.8f;

        public float Ray { get; } = (float)look.RayContrast * Fade(0.22f, pitch);

        private static float Fade(float periodMm, float pitch) => Math.Clamp((periodMm / pitch) - 0.4f, 0.25f, 1);
    }
}
