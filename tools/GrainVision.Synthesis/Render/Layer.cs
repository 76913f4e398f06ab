namespace GrainVision.Synthesis;

/// <summary>Something flat in the scene: bench, a surface of the piece, a rule. Painted back to front.</summary>
internal abstract class Layer
{
    private readonly PlaneMap mmFromPx;
    private readonly (double X, double Y)[]? rim;
    private readonly double[] cornerX = new double[4];
    private readonly double[] cornerY = new double[4];
    private readonly double[] distance = new double[4];

    /// <param name="pxFromMm">The layer's plane as the camera sees it, before lens distortion.</param>
    /// <param name="rim">Convex outline in the layer's mm, clockwise as seen; null for a layer without end.</param>
    protected Layer(PlaneMap pxFromMm, IReadOnlyList<(double X, double Y)>? rim)
    {
        mmFromPx = pxFromMm.Inverse();
        this.rim = rim is null ? null : Clockwise(rim);
    }

    /// <summary>How far the rim's edge may stray from straight, mm: widens the strip where coverage is worked out per pixel.</summary>
    protected virtual double RimRoughnessMm => 0;

    /// <summary>Paints the layer into the block, over what is there. Returns false where it does not reach the block.</summary>
    public bool Paint(Block block, float[] scratch)
    {
        for (var i = 0; i < 4; i++)
            (cornerX[i], cornerY[i]) = mmFromPx.Apply(block.CornerX[i], block.CornerY[i]);
        var x = Bilinear.Of(cornerX);
        var y = Bilinear.Of(cornerY);
        var pitch = PitchOf(x, y);
        var cover = CoverOf(pitch);
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
            (cornerX[i], cornerY[i]) = mmFromPx.Apply(block.CornerX[i], block.CornerY[i]);
        return CoverOf(PitchOf(Bilinear.Of(cornerX), Bilinear.Of(cornerY))) == Cover.Whole;
    }

    protected static float PitchOf(Bilinear x, Bilinear y)
    {
        var (xr, xd) = x.Gradient();
        var (yr, yd) = y.Gradient();
        return MathF.Sqrt(MathF.Abs((xr * yd) - (xd * yr)));
    }

    private Cover CoverOf(double pitch)
    {
        if (rim is null)
            return Cover.Whole;
        var margin = pitch + RimRoughnessMm;
        var whole = true;
        for (var e = 0; e < rim.Length; e++)
        {
            var least = double.MaxValue;
            var greatest = double.MinValue;
            for (var i = 0; i < 4; i++)
            {
                distance[i] = Inside(e, cornerX[i], cornerY[i]);
                least = Math.Min(least, distance[i]);
                greatest = Math.Max(greatest, distance[i]);
            }

            if (greatest < -margin)
                return Cover.None;
            whole &= least > margin;
        }

        return whole ? Cover.Whole : Cover.Part;
    }

    private void Blend(Block block, Bilinear x, Bilinear y, float pitch, float[] scratch)
    {
        for (var row = 0; row < block.Height; row++)
        {
            var px = x.StartOf(row);
            var py = y.StartOf(row);
            var sx = x.StepOf(row);
            var sy = y.StepOf(row);
            var at = row * Block.Size * 3;
            for (var col = 0; col < block.Width; col++, px += sx, py += sy, at += 3)
            {
                var alpha = Coverage(px, py, pitch);
                for (var c = 0; c < 3; c++)
                    block.Bgr[at + c] += alpha * (scratch[at + c] - block.Bgr[at + c]);
            }
        }
    }

    private float Coverage(float x, float y, float pitch)
    {
        var alpha = 1.0;
        var strain = RimOffset(x, y);
        for (var e = 0; e < rim!.Length; e++)
            alpha *= Math.Clamp(0.5 + ((Inside(e, x, y) + strain) / pitch), 0, 1);
        return (float)alpha;
    }

    /// <summary>Signed distance inside edge e, mm.</summary>
    private double Inside(int e, double x, double y)
    {
        var (ax, ay) = rim![e];
        var (bx, by) = rim[(e + 1) % rim.Length];
        var dx = bx - ax;
        var dy = by - ay;
        return (((x - ax) * -dy) + ((y - ay) * dx)) / Math.Sqrt((dx * dx) + (dy * dy));
    }

    private static (double X, double Y)[] Clockwise(IReadOnlyList<(double X, double Y)> rim)
    {
        // Inside() works in the layer's own mm: whether the camera sees the plane mirrored does not matter.
        var area = 0.0;
        for (var i = 0; i < rim.Count; i++)
        {
            var (ax, ay) = rim[i];
            var (bx, by) = rim[(i + 1) % rim.Count];
            area += (ax * by) - (bx * ay);
        }

        return area > 0 ? [.. rim] : [.. rim.Reverse()];
    }

    private enum Cover
    {
        None,
        Part,
        Whole,
    }
}
