using GrainVision.Grading.Cards;
using GrainVision.Grading.Quantities;
using GrainVision.Measuring.Geometry;
using GrainVision.Measuring.Intake;
using OpenCvSharp;

namespace GrainVision.Measuring.Scale.Card;

/// <summary>
/// Reads the check target's marker at the one place beside the card where the sheet has it. Every cell must be right and the rim white: a
/// photo of wood with a card must never be taken for a target.
/// </summary>
internal static class CheckTargetReader
{
    /// <summary>40 grey levels between black and white cells; less is glare, shadow or no marker at all.</summary>
    private const double LeastContrast = 40;

    /// <summary>0.2: a cell nearer to the middle between black and white than this share of their distance is neither.</summary>
    private const double Doubt = 0.2;

    /// <summary>Black and white as the cells of a whole marker lie: one cell of white rim on each side.</summary>
    private const int Cells = CardDesign.MarkerCells + 2;

    /// <summary>The bands that the sheet's marker names, or null where no such marker is.</summary>
    /// <param name="photo">Only read.</param>
    /// <param name="mmFromPx">Card's millimetres from photo pixels.</param>
    public static TargetBands? Read(UprightPhoto photo, Homography mmFromPx)
    {
        var pxFromMm = mmFromPx.Inverse();
        const double cell = CheckTargetDesign.MarkerMm / CardDesign.MarkerCells;
        var brightness = new double[Cells, Cells];
        double darkest = 255, brightest = 0;
        for (var row = 0; row < Cells; row++)
        {
            for (var column = 0; column < Cells; column++)
            {
                var at = new PointPx(CheckTargetDesign.MarkerAtMm.X + ((column - 0.5) * cell), CheckTargetDesign.MarkerAtMm.Y + ((row - 0.5) * cell));
                if (CellBrightness(photo.Bgr, pxFromMm, at, cell) is not { } value)
                    return null;
                brightness[row, column] = value;
                (darkest, brightest) = (Math.Min(darkest, value), Math.Max(brightest, value));
            }
        }

        if (brightest - darkest < LeastContrast)
            return null;
        for (var i = 0; i < CheckTargetDesign.Listed.Count; i++)
        {
            if (IsMarker(brightness, darkest, brightest, CardMarkers.BlackCells(CheckTargetDesign.FirstMarkerId + i)))
                return CheckTargetDesign.Listed[i];
        }

        return null;
    }

    private static bool IsMarker(double[,] brightness, double darkest, double brightest, bool[,] black)
    {
        for (var row = 0; row < Cells; row++)
        {
            for (var column = 0; column < Cells; column++)
            {
                var rim = row == 0 || column == 0 || row == Cells - 1 || column == Cells - 1;
                var share = (brightness[row, column] - darkest) / (brightest - darkest);
                var isBlack = !rim && black[row - 1, column - 1];
                if (isBlack ? share > 0.5 - Doubt : share < 0.5 + Doubt)
                    return false;
            }
        }

        return true;
    }

    /// <summary>Mean grey of the middle of a cell; null where it lies outside the photo or behind the camera.</summary>
    private static double? CellBrightness(Mat bgr, Homography pxFromMm, PointPx middle, double cell)
    {
        var sum = 0.0;
        for (var i = 0; i < 9; i++)
        {
            // Within a quarter of a cell of its middle: a marker that lies half a millimetre off still reads.
            var mm = new PointPx(middle.X + (((i % 3) - 1) * cell / 4), middle.Y + (((i / 3) - 1) * cell / 4));
            if (pxFromMm.Depth(mm) <= 0)
                return null;
            var p = pxFromMm.Map(mm);
            if (!(p.X >= 0 && p.Y >= 0 && p.X <= bgr.Width - 1 && p.Y <= bgr.Height - 1))
                return null;
            var colour = bgr.At<Vec3b>((int)Math.Round(p.Y), (int)Math.Round(p.X));
            sum += (0.114 * colour.Item0) + (0.587 * colour.Item1) + (0.299 * colour.Item2);
        }

        return sum / 9;
    }
}
