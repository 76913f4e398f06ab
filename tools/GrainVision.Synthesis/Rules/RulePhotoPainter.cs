using GrainVision.Grading.Quantities;

namespace GrainVision.Synthesis.Rules;

/// <summary>Paints the photo that a specification tells of: rule, bench, the piece's wood, a hand, light, blur and noise.</summary>
internal static class RulePhotoPainter
{
    public static byte[] Paint(RulePhotoSpec spec)
    {
        var mm = Millimetres(spec);
        double from = double.MaxValue, to = double.MinValue;
        for (var i = 0; i < mm.Length; i += 2)
        {
            if (mm[i + 1] < 0 || mm[i + 1] > spec.WidthMm)
                continue;
            from = Math.Min(from, mm[i]);
            to = Math.Max(to, mm[i]);
        }

        from = Math.Clamp(from - 2, 0, spec.LengthMm);
        to = Math.Clamp(to + 2, from + 1, spec.LengthMm + 1);
        var pitch = spec.Camera.PixelsPerMmAt(0.5 * (from + to), 0);
        var (ink, start) = RuleInk.Draw(spec, from, to, Math.Clamp(2.5 * pitch, 10, 50));
        var bgr = Shade(spec, mm, ink, start);
        GaussianBlur.Apply(bgr, spec.Width, spec.Height, spec.BlurPx);
        return Develop(spec, bgr);
    }

    /// <summary>x and y in the rule's plane for each pixel's middle.</summary>
    private static float[] Millimetres(RulePhotoSpec spec)
    {
        var camera = spec.Camera;
        var p = camera.Plane;
        var inverse = new PlaneMap(p).Inverse();
        var mm = new float[2 * spec.Width * spec.Height];
        for (var y = 0; y < spec.Height; y++)
        {
            for (var x = 0; x < spec.Width; x++)
            {
                var at = inverse.Apply(camera.Undistort(new PointPx(x, y)));
                mm[2 * ((y * spec.Width) + x)] = (float)at.X;
                mm[(2 * ((y * spec.Width) + x)) + 1] = (float)at.Y;
            }
        }

        return mm;
    }

    private static float[] Shade(RulePhotoSpec spec, float[] mm, Picture ink, double start)
    {
        var bgr = new float[3 * spec.Width * spec.Height];
        var k = (float)ink.PixelsPerMm;
        var surfaces = new RuleSurfaces(spec);
        for (var y = 0; y < spec.Height; y++)
        {
            for (var x = 0; x < spec.Width; x++)
            {
                var at = (y * spec.Width) + x;
                var (u, v) = (mm[2 * at], mm[(2 * at) + 1]);
                var right = 2 * (at + (x + 1 < spec.Width ? 1 : -1));
                var below = 2 * (at + (y + 1 < spec.Height ? spec.Width : -spec.Width));
                var (ux, vx, uy, vy) = (mm[right] - u, mm[right + 1] - v, mm[below] - u, mm[below + 1] - v);
                float share = 0, marked = 0;
                for (var s = 0; s < 9; s++)
                {
                    var (ox, oy) = (((s % 3) - 1) / 3f, ((s / 3) - 1) / 3f);
                    var (su, sv) = (u + (ox * ux) + (oy * uy), v + (ox * vx) + (oy * vy));
                    if (su < 0 || sv < 0 || su > spec.LengthMm || sv > spec.WidthMm)
                        continue;
                    share += 1 / 9f;
                    marked += ink.At((float)(su - start) * k, sv * k, 0) / (9 * 255f);
                }

                surfaces.Shade(u, v, share, share > 0 ? marked / share : 0, bgr.AsSpan(3 * at, 3));
            }
        }

        return bgr;
    }

    private static byte[] Develop(RulePhotoSpec spec, float[] bgr)
    {
        var r = new SeededRandom((ulong)spec.Seed).Fork("sensor");
        var bytes = new byte[bgr.Length];
        for (var i = 0; i < bytes.Length; i += 3)
        {
            var grey = r.Normal(0, spec.Noise);
            for (var c = 0; c < 3; c++)
                bytes[i + c] = (byte)Math.Clamp(bgr[i + c] + grey + (0.5 * spec.Noise * (r.Next() - 0.5)) + 0.5, 0, 255);
        }

        var jpeg = PhotoFile.Jpeg(bytes, spec.Width, spec.Height, spec.JpegQuality);

        // A cropped photo keeps the size of the whole one in its EXIF, as many programs leave it.
        return spec.Cropped
            ? PhotoExif.Into(jpeg, (int)(1.6 * spec.Camera.RadiusPx), (int)(1.2 * spec.Camera.RadiusPx), spec.Camera.FocalPx)
            : PhotoExif.Into(jpeg, spec.Width, spec.Height, spec.Camera.FocalPx);
    }
}
