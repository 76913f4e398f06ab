namespace GrainVision.Synthesis;

/// <summary>The log's map over a box of the surface, worked out on a coarse lattice and interpolated, as the painter does.</summary>
internal sealed class SurfaceGrid
{
    /// <summary>2 mm, or a sixty-fourth of a large box: interpolation errors stay below 0.01 mm.</summary>
    private const int MostCells = 64;

    private readonly double left;
    private readonly double top;
    private readonly double stepX;
    private readonly double stepY;
    private readonly int nx;
    private readonly int ny;
    private readonly double[] qx;
    private readonly double[] qy;
    private readonly double[] z;

    public SurfaceGrid(Scene scene, double left, double right, double top, double bottom)
    {
        this.left = left;
        this.top = top;
        nx = Math.Clamp((int)((right - left) / 2), 1, MostCells);
        ny = Math.Clamp((int)((bottom - top) / 2), 1, MostCells);
        stepX = Math.Max(right - left, 1e-6) / nx;
        stepY = Math.Max(bottom - top, 1e-6) / ny;
        qx = new double[(nx + 1) * (ny + 1)];
        qy = new double[qx.Length];
        z = new double[qx.Length];
        for (var j = 0; j <= ny; j++)
        {
            for (var i = 0; i <= nx; i++)
            {
                var p = scene.Surface.At(left + (i * stepX), top + (j * stepY));
                var k = (j * (nx + 1)) + i;
                (qx[k], qy[k]) = scene.Log.ClearFibreAt(p);
                z[k] = p.Z;
            }
        }
    }

    public WoodPoint At(double x, double y)
    {
        var fx = Math.Clamp((x - left) / stepX, 0, nx - 1e-9);
        var fy = Math.Clamp((y - top) / stepY, 0, ny - 1e-9);
        int i = (int)fx, j = (int)fy;
        double tx = fx - i, ty = fy - j;
        var k = (j * (nx + 1)) + i;
        double Mix(double[] v) => ((1 - ty) * (((1 - tx) * v[k]) + (tx * v[k + 1]))) + (ty * (((1 - tx) * v[k + nx + 1]) + (tx * v[k + nx + 2])));
        double a = Mix(qx), b = Mix(qy);
        return new WoodPoint((float)x, (float)y, (float)a, (float)b, (float)Math.Sqrt((a * a) + (b * b)), (float)Mix(z), 0.05f);
    }
}
