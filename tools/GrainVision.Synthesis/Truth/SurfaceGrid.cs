namespace GrainVision.Synthesis;

/// <summary>The log's map over a box of the surface, worked out on a coarse lattice and interpolated, as the painter does.</summary>
internal sealed class SurfaceGrid
{
    /// <summary>2 mm, or a sixty-fourth of a large box: interpolation errors stay below 0.01 mm.</summary>
    private const int MostCells = 64;

    private readonly double _left;
    private readonly double _top;
    private readonly double _stepX;
    private readonly double _stepY;
    private readonly int _nx;
    private readonly int _ny;
    private readonly double[] _qx;
    private readonly double[] _qy;
    private readonly double[] _z;

    public SurfaceGrid(Scene scene, double left, double right, double top, double bottom)
    {
        _left = left;
        _top = top;
        _nx = Math.Clamp((int)((right - left) / 2), 1, MostCells);
        _ny = Math.Clamp((int)((bottom - top) / 2), 1, MostCells);
        _stepX = Math.Max(right - left, 1e-6) / _nx;
        _stepY = Math.Max(bottom - top, 1e-6) / _ny;
        _qx = new double[(_nx + 1) * (_ny + 1)];
        _qy = new double[_qx.Length];
        _z = new double[_qx.Length];
        for (var j = 0; j <= _ny; j++)
        {
            for (var i = 0; i <= _nx; i++)
            {
                var p = scene.Surface.At(left + (i * _stepX), top + (j * _stepY));
                var k = (j * (_nx + 1)) + i;
                (_qx[k], _qy[k]) = scene.Log.ClearFibreAt(p);
                _z[k] = p.Z;
            }
        }
    }

    public WoodPoint At(double x, double y)
    {
        var fx = Math.Clamp((x - _left) / _stepX, 0, _nx - 1e-9);
        var fy = Math.Clamp((y - _top) / _stepY, 0, _ny - 1e-9);
        int i = (int)fx, j = (int)fy;
        double tx = fx - i, ty = fy - j;
        var k = (j * (_nx + 1)) + i;
        double Mix(double[] v) => ((1 - ty) * (((1 - tx) * v[k]) + (tx * v[k + 1]))) + (ty * (((1 - tx) * v[k + _nx + 1]) + (tx * v[k + _nx + 2])));
        double a = Mix(_qx), b = Mix(_qy);
        return new WoodPoint((float)x, (float)y, (float)a, (float)b, (float)Math.Sqrt((a * a) + (b * b)), (float)Mix(_z), 0.05f);
    }
}
