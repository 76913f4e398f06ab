namespace GrainVision.Synthesis;

/// <summary>Something flat in the scene: bench, a surface of the piece, a rule. Painted back to front.</summary>
internal abstract class Layer
{
    private readonly PlaneMap _mmFromPx;
    private readonly (double X, double Y)[]? _rimPx;
    private readonly double[] _cornerX = new double[4];
    private readonly double[] _cornerY = new double[4];

    /// <param name="pxFromMm">The layer's plane as the camera sees it, before lens distortion.</param>
    /// <param name="rim">Convex outline in the layer's mm, clockwise as seen; null for a layer without end.</param>
    protected Layer(PlaneMap pxFromMm, IReadOnlyList<(double X, double Y)>? rim)
    {
        _mmFromPx = pxFromMm.Inverse();
        _rimPx = rim is null ? null : RimPx(rim, pxFromMm);
    }

    /// <summary>How far the rim's edge may stray from straight, mm: widens the strip where coverage is worked out per pixel.</summary>
    protected virtual double RimRoughnessMm => 0;

    /// <summary>Paints the layer into the block, over what is there. Returns false where it does not reach the block.</summary>
    public bool Paint(Block block, float[] scratch)
    {
        for (var i = 0; i < 4; i++)
            (_cornerX[i], _cornerY[i]) = _mmFromPx.Apply(block.CornerX[i], block.CornerY[i]);
        var x = Bilinear.Of(_cornerX);
        var y = Bilinear.Of(_cornerY);
        var pitch = PitchOf(x, y);
        var cover = CoverOf(block, pitch);
        if (cover == Cover.None)
            return false;
        if (cover == Cover.Whole)
        {
            Shade(block, x, y, pitch, block.Bgr);
            return true;
        }

        Shade(block, x, y, pitch, scratch);
        Blend(block, x, y, pitch, scratch);
        return true;
    }

    /// <summary>Writes linear light for the block's pixels. <paramref name="pitch"/> is mm per pixel.</summary>
    protected abstract void Shade(Block block, Bilinear x, Bilinear y, float pitch, float[] bgr);

    /// <summary>Extra strain of the rim at a place, mm, within <see cref="RimRoughnessMm"/>.</summary>
    protected virtual float RimOffset(float x, float y) => 0;

    /// <summary>Does this layer hide everything behind it in this block?</summary>
    public bool Hides(Block block)
    {
        for (var i = 0; i < 4; i++)
            (_cornerX[i], _cornerY[i]) = _mmFromPx.Apply(block.CornerX[i], block.CornerY[i]);
        return CoverOf(block, PitchOf(Bilinear.Of(_cornerX), Bilinear.Of(_cornerY))) == Cover.Whole;
    }

    protected static float PitchOf(Bilinear x, Bilinear y)
    {
        var (xr, xd) = x.Gradient();
        var (yr, yd) = y.Gradient();
        return MathF.Sqrt(MathF.Abs((xr * yd) - (xd * yr)));
    }

    private Cover CoverOf(Block block, double pitch)
    {
        if (_rimPx is null)
            return Cover.Whole;
        var margin = 1 + (RimRoughnessMm / pitch);
        var whole = true;
        for (var e = 0; e < _rimPx.Length; e++)
        {
            var least = double.MaxValue;
            var greatest = double.MinValue;
            for (var i = 0; i < 4; i++)
            {
                var d = Inside(e, block.CornerX[i], block.CornerY[i]);
                least = Math.Min(least, d);
                greatest = Math.Max(greatest, d);
            }

            if (greatest < -margin)
                return Cover.None;
            whole &= least > margin;
        }

        return whole ? Cover.Whole : Cover.Part;
    }

    private void Blend(Block block, Bilinear x, Bilinear y, float pitch, float[] scratch)
    {
        var ideaX = Bilinear.Of(block.CornerX);
        var ideaY = Bilinear.Of(block.CornerY);
        for (var row = 0; row < block.Height; row++)
        {
            float mx = x.StartOf(row), my = y.StartOf(row), sx = x.StepOf(row), sy = y.StepOf(row);
            float px = ideaX.StartOf(row), py = ideaY.StartOf(row), tx = ideaX.StepOf(row), ty = ideaY.StepOf(row);
            var at = row * Block.Size * 3;
            for (var col = 0; col < block.Width; col++, mx += sx, my += sy, px += tx, py += ty, at += 3)
            {
                var strain = RimRoughnessMm > 0 ? RimOffset(mx, my) / pitch : 0;
                var alpha = 1.0;
                for (var e = 0; e < _rimPx!.Length; e++)
                    alpha *= Math.Clamp(0.5 + Inside(e, px, py) + strain, 0, 1);
                for (var c = 0; c < 3; c++)
                    block.Bgr[at + c] += (float)alpha * (scratch[at + c] - block.Bgr[at + c]);
            }
        }
    }

    /// <summary>Signed distance inside edge e of the outline as the camera sees it, px.</summary>
    private double Inside(int e, double x, double y)
    {
        var (ax, ay) = _rimPx![e];
        var (bx, by) = _rimPx[(e + 1) % _rimPx.Length];
        var dx = bx - ax;
        var dy = by - ay;
        return (((x - ax) * -dy) + ((y - ay) * dx)) / Math.Sqrt((dx * dx) + (dy * dy));
    }

    /// <summary>The outline in px without lens distortion, clockwise, cut off well before it passes the camera.</summary>
    private static (double X, double Y)[] RimPx(IReadOnlyList<(double X, double Y)> rim, PlaneMap pxFromMm)
    {
        const double nearest = 0.25;
        var m = pxFromMm.RowMajor;
        double Depth((double X, double Y) p) => (m[6] * p.X) + (m[7] * p.Y) + m[8] - nearest;
        var kept = new List<(double X, double Y)>();
        for (var i = 0; i < rim.Count; i++)
        {
            var a = rim[i];
            var b = rim[(i + 1) % rim.Count];
            double da = Depth(a), db = Depth(b);
            if (da >= 0)
                kept.Add(a);
            if (da * db < 0)
                kept.Add((a.X + (da / (da - db) * (b.X - a.X)), a.Y + (da / (da - db) * (b.Y - a.Y))));
        }

        var px = kept.ConvertAll(p => pxFromMm.Apply(p.X, p.Y));
        var area = 0.0;
        for (var i = 0; i < px.Count; i++)
            area += (px[i].X * px[(i + 1) % px.Count].Y) - (px[(i + 1) % px.Count].X * px[i].Y);
        if (area < 0)
            px.Reverse();
        return [.. px];
    }

    private enum Cover
    {
        None,
        Part,
        Whole,
    }
}
