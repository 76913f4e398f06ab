using GrainVision.Grading.Quantities;
using GrainVision.Synthesis;

namespace GrainVision.Synthesis.Tests;

/// <summary>Measures the pixels themselves, knowing nothing of the log that they were painted from.</summary>
internal sealed class PhotoProbe(SynthesisedPhoto photo)
{
    /// <summary>Green, bilinear, 0 to 255.</summary>
    public double At(double x, double y)
    {
        int x0 = (int)Math.Floor(x), y0 = (int)Math.Floor(y);
        double tx = x - x0, ty = y - y0;
        return ((1 - ty) * (((1 - tx) * Pixel(x0, y0)) + (tx * Pixel(x0 + 1, y0)))) + (ty * (((1 - tx) * Pixel(x0, y0 + 1)) + (tx * Pixel(x0 + 1, y0 + 1))));
    }

    public double At(PointPx p) => At(p.X, p.Y);

    /// <summary>
    /// Direction of least change within a rectangle, rad, -pi/2 to pi/2: the lines' direction by the structure tensor
    /// (Bigun and Granlund 1987).
    /// </summary>
    public double LineDirectionRad(double left, double right, double top, double bottom)
    {
        double xx = 0, yy = 0, xy = 0;
        for (var y = Math.Ceiling(top); y <= bottom; y++)
        {
            for (var x = Math.Ceiling(left); x <= right; x++)
            {
                // Rotation-fair derivative (Scharr 2000): 3-10-3.
                double D(double dx, double dy) =>
                    (10 * (At(x + dx, y + dy) - At(x - dx, y - dy)))
                    + (3 * (At(x + dx + dy, y + dy + dx) - At(x - dx + dy, y - dy + dx)))
                    + (3 * (At(x + dx - dy, y + dy - dx) - At(x - dx - dy, y - dy - dx)));
                double gx = D(1, 0), gy = D(0, 1);
                xx += gx * gx;
                yy += gy * gy;
                xy += gx * gy;
            }
        }

        var gradient = Math.Atan2(2 * xy, xx - yy) / 2;
        var line = gradient + (Math.PI / 2);
        return line > Math.PI / 2 ? line - Math.PI : line;
    }

    private double Pixel(int x, int y)
    {
        x = Math.Clamp(x, 0, photo.Width - 1);
        y = Math.Clamp(y, 0, photo.Height - 1);
        return photo.Bgr[(((y * photo.Width) + x) * 3) + 1];
    }
}
