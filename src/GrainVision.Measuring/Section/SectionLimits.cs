using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Grading.Refusals;
using GrainVision.Measuring.Intake;
using GrainVision.Measuring.Scale;
using OpenCvSharp;

namespace GrainVision.Measuring.Section;

/// <summary>Sizes a section can have, and the size reported.</summary>
internal static class SectionLimits
{
    /// <summary>4 mm: a smaller "piece" is a speck or a wrong scale.</summary>
    private const double LeastMm = 4;

    /// <summary>8 m: more than one photo can show with anything to measure in it.</summary>
    private const double GreatestMm = 8000;

    /// <summary>0.1 mm: how far a sawn arris is ragged along a whole side (standard uncertainty of a pair; our judgement, no source).</summary>
    private const double ArrisMm = 0.1;

    public static Refusal? Check(SurfaceFrame plane)
    {
        var (least, greatest) = (Math.Min(plane.FirstSideMm, plane.SecondSideMm), Math.Max(plane.FirstSideMm, plane.SecondSideMm));
        if (double.IsFinite(least) && double.IsFinite(greatest) && least >= LeastMm && greatest <= GreatestMm)
            return null;
        return RefusalCatalog.SectionSizeAbsurd.Because($"By this scale the piece would be {plane.FirstSideMm:0.#} by {plane.SecondSideMm:0.#} mm.");
    }

    /// <summary>
    /// Size of the section; null where the photo cuts it off. Besides scale, corners and arrises two terms: how far the two sides of a pair differ, since a sawn
    /// section is a rectangle and what is none was found or straightened wrongly; and what the lens, which bends the outline, does to its sides.
    /// </summary>
    public static SectionSize? Size(SurfaceFrame plane, PieceOutline outline, PhotoScale scale, UprightPhoto photo)
    {
        var relative = scale.Finding.PixelsPerMm.StandardUncertainty / scale.Finding.PixelsPerMm.Value;
        var bent = Bent(plane, scale, photo);
        Measured Side(int first)
        {
            var (one, other) = (Length(plane.CornersMm, first), Length(plane.CornersMm, first + 2));
            var mm = (one + other) / 2;
            var lens = mm - ((Length(bent, first) + Length(bent, first + 2)) / 2);
            var corners = Math.Sqrt(2) * outline.CornerPx / plane.PixelsPerMm;
            return Measured.FromStandardUncertainty(mm, ScaleUncertaintyBudget.Combine(mm * relative, corners, lens, (one - other) / 2, ArrisMm));
        }

        // Of a face that runs off the photo at its ends the width is still seen.
        return outline.SideSeen[0] && outline.SideSeen[2] ? new SectionSize(Side(0), Side(1)) : null;
    }

    private static double Length(IReadOnlyList<Point2d> corners, int side) => corners[side % 4].DistanceTo(corners[(side + 1) % 4]);

    /// <summary>The corners as they would lie if the lens had the distortion that is possible. A stated size is of the outline as it is.</summary>
    private static IReadOnlyList<Point2d> Bent(SurfaceFrame plane, PhotoScale scale, UprightPhoto photo)
    {
        if (scale.Finding.Kind == ScaleKind.OutlineSize)
            return plane.CornersMm;
        var k1 = scale.LensK1 ?? ScaleUncertaintyBudget.LensK1;
        var middle = new PointPx((photo.Width - 1) / 2.0, (photo.Height - 1) / 2.0);
        var radius = middle.DistanceTo(new PointPx(0, 0));
        return [.. plane.CornersPx.Select(p => plane.ToMm(p + ((p - middle) * (k1 * Math.Pow(p.DistanceTo(middle) / radius, 2)))))];
    }
}
