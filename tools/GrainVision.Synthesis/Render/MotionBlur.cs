namespace GrainVision.Synthesis;

/// <summary>Smear along a line: hand-shake.</summary>
internal static class MotionBlur
{
    public static float[] Smear(float[] image, int width, int height, double lengthPx, double rad)
    {
        var taps = Math.Max(2, (int)Math.Ceiling(lengthPx) + 1);
        var (sin, cos) = Math.SinCos(rad);
        var to = new float[image.Length];
        var stride = width * 3;
        for (var t = 0; t < taps; t++)
        {
            var along = ((t / (double)(taps - 1)) - 0.5) * lengthPx;
            Add(image, to, stride, height, along * cos, along * sin, 1f / taps);
        }

        return to;
    }

    private static void Add(float[] image, float[] to, int stride, int height, double dx, double dy, float weight)
    {
        var x0 = (int)Math.Floor(dx);
        var y0 = (int)Math.Floor(dy);
        var tx = (float)(dx - x0);
        var ty = (float)(dy - y0);
        float a = weight * (1 - tx) * (1 - ty), b = weight * tx * (1 - ty), c = weight * (1 - tx) * ty, d = weight * tx * ty;
        for (var y = 0; y < height; y++)
        {
            var top = Math.Clamp(y + y0, 0, height - 1) * stride;
            var bottom = Math.Clamp(y + y0 + 1, 0, height - 1) * stride;
            var row = y * stride;
            for (var x = 0; x < stride; x++)
            {
                var left = Math.Clamp(x + (3 * x0), x % 3, stride - 3 + (x % 3));
                var right = Math.Clamp(left + 3, x % 3, stride - 3 + (x % 3));
                to[row + x] += (a * image[top + left]) + (b * image[top + right]) + (c * image[bottom + left]) + (d * image[bottom + right]);
            }
        }
    }
}
