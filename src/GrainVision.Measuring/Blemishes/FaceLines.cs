using GrainVision.Measuring.Orientation;
using GrainVision.Measuring.Section;
using OpenCvSharp;

namespace GrainVision.Measuring.Blemishes;

/// <summary>Direction of the growth lines over a face, from a coarse orientation field: cathedral figure turns, and its lines must be followed.</summary>
internal sealed class FaceLines
{
    /// <summary>3 mm: a cell; directions are averaged over 8 mm, so a knot under that hardly turns them.</summary>
    private const double CellMm = 3;

    private readonly Dictionary<(int U, int V), double> _line = [];

    public FaceLines(RectifiedSurface raster)
    {
        foreach (var cell in OrientationCells.Compute(raster, 0.35, CellMm, 8))
        {
            // Where no direction stands out, the line is taken to run along the piece.
            if (cell.Coherence > 0.25)
                _line[Key(cell.AtMm)] = Math.IEEERemainder(cell.NormalRad + (Math.PI / 2), Math.PI);
        }
    }

    /// <summary>Line direction at a place, rad from +u, -pi/2 to pi/2.</summary>
    public double At(Point2d mm) => _line.GetValueOrDefault(Key(mm));

    private static (int U, int V) Key(Point2d mm) => ((int)Math.Floor(mm.X / CellMm), (int)Math.Floor(mm.Y / CellMm));
}
