using GrainVision.Measuring.Section;

namespace GrainVision.Measuring.Orientation;

/// <summary>Tries several gradient scales and keeps the field that explains most of the end.</summary>
internal static class RingFieldStage
{
    /// <summary>Gradient scales, mm: for rings from 0.85 mm (30 per inch) to 6.35 mm (4 per inch).</summary>
    private static readonly double[] GradientSigmasMm = [0.1, 0.22, 0.5];

    /// <summary>0.35: a field that explains less of the figure than this is no ring field.</summary>
    private const double LeastExplained = 0.35;

    /// <summary>
    /// 0.05 (2.9°): rings scatter by 0.2° to 1.2° about their field on drawn ends, by up to 2.4° round a pith; beyond that the "field" was a spike knot's
    /// figure, 80° wrong and believed to 5°.
    /// </summary>
    private const double MostSpreadRad = 0.05;

    public static RingFieldFit? Fit(RectifiedSurface raster)
    {
        // A hundred cells or more on the smallest piece, 2 mm at most on the largest.
        var cellMm = Math.Clamp(Math.Sqrt(raster.Plane.FirstSideMm * raster.Plane.SecondSideMm / 600), 0.5, 2);
        FittedCells? best = null;
        foreach (var sigma in GradientSigmasMm)
        {
            var cells = OrientationCells.Compute(raster, sigma, cellMm, 1.2 * cellMm);
            if (RingFieldFitter.Fit(cells, raster.Plane.MiddleMm) is { } fit && (best is null || Score(fit) > Score(best)))
                best = fit;
        }

        return best is { } b && b.Explained >= LeastExplained && b.SpreadRad <= MostSpreadRad
            ? RingFieldFitter.WithUncertainty(b, CentreOrientation.Find(raster, b.Field))
            : null;
    }

    private static double Score(FittedCells fit) => fit.Explained / (0.03 + fit.SpreadRad);
}
