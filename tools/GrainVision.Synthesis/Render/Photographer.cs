namespace GrainVision.Synthesis;

/// <summary>Light falls on the painted scene and a camera turns it into 8-bit pixels: uneven light, blur, noise, sharpening, tone.</summary>
internal static class Photographer
{
    /// <summary>BGR bytes, rows from the top without padding, from linear light in the same order. Spoils its input.</summary>
    public static byte[] Expose(float[] light, int width, int height, Optics optics, SeededRandom random)
    {
        Illuminate(light, width, height, optics);
        if (optics.MotionPx > 0.3)
            light = MotionBlur.Smear(light, width, height, optics.MotionPx, optics.MotionRad);
        if (optics.BlurSigmaPx > 0.05)
            GaussianBlur.Apply(light, width, height, optics.BlurSigmaPx);
        return Digitise(light, width, height, optics, random);
    }

    private static void Illuminate(float[] light, int width, int height, Optics optics)
    {
        var (sin, cos) = Math.SinCos(optics.LightFallRad);
        var radius = Math.Sqrt((width * (double)width) + (height * (double)height)) / 2;
        float red = (float)(optics.Exposure * optics.Warmth), green = (float)optics.Exposure, blue = (float)(optics.Exposure / optics.Warmth);
        // Light changes slowly: worked out every 8 px and interpolated along the row.
        for (var y = 0; y < height; y++)
        {
            var at = y * width * 3;
            for (var x0 = 0; x0 < width; x0 += 8)
            {
                var k = Factor(x0, y);
                var step = (Factor(x0 + 8, y) - k) / 8;
                var n = Math.Min(8, width - x0);
                for (var i = 0; i < n; i++, at += 3, k += step)
                {
                    light[at] *= k * blue;
                    light[at + 1] *= k * green;
                    light[at + 2] *= k * red;
                }
            }
        }

        float Factor(double x, double y)
        {
            var dx = (x - (width / 2.0)) / radius;
            var dy = (y - (height / 2.0)) / radius;
            return (float)((1 - (optics.Vignette * ((dx * dx) + (dy * dy)))) * (1 + (optics.LightFall * ((dx * cos) + (dy * sin)))));
        }
    }

    private static byte[] Digitise(float[] light, int width, int height, Optics optics, SeededRandom random)
    {
        var bytes = new byte[width * height * 3];
        // At mid grey (118 of 255) one 8-bit level is about 0.0035 of linear light.
        var sigma = (float)(optics.NoiseLevels * 0.0035);
        const float mid = 0.18f;
        var noise = NoiseTape.Make(random);
        var sharpen = (float)optics.Sharpening;
        for (var y = 0; y < height; y++)
        {
            var up = Math.Max(y - 1, 0) * width * 3;
            var row = y * width * 3;
            var down = Math.Min(y + 1, height - 1) * width * 3;
            noise.NewRow();
            for (var i = 0; i < width * 3; i++)
            {
                var v = light[row + i];
                if (sharpen > 0)
                {
                    var left = i >= 3 ? light[row + i - 3] : v;
                    var right = i < (width * 3) - 3 ? light[row + i + 3] : v;
                    v += sharpen * (v - (0.25f * (left + right + light[up + i] + light[down + i])));
                }

                if (sigma > 0)
                    v += sigma * MathF.Sqrt(0.15f + (0.85f * MathF.Max(v, 0) / mid)) * noise.Next();
                bytes[row + i] = Tone.ToByte(v);
            }
        }

        return bytes;
    }
}
