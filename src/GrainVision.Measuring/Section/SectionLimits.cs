using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Grading.Refusals;
using GrainVision.Measuring.Scale;

namespace GrainVision.Measuring.Section;

/// <summary>Sizes a section can have, and the size reported.</summary>
internal static class SectionLimits
{
    /// <summary>4 mm: a smaller "piece" is a speck or a wrong scale.</summary>
    private const double LeastMm = 4;

    /// <summary>8 m: more than one photo can show with anything to measure in it.</summary>
    private const double GreatestMm = 8000;

    public static Refusal? Check(SectionPlane plane)
    {
        var (least, greatest) = (Math.Min(plane.FirstSideMm, plane.SecondSideMm), Math.Max(plane.FirstSideMm, plane.SecondSideMm));
        if (double.IsFinite(least) && double.IsFinite(greatest) && least >= LeastMm && greatest <= GreatestMm)
            return null;
        return new Refusal(
            "section-size-absurd", "section", 422, $"By this scale the piece would be {plane.FirstSideMm:0.#} by {plane.SecondSideMm:0.#} mm.",
            "Check the scale that was given (unit, distance, corners) or retake with the card or rule beside the piece.");
    }

    /// <summary>Size of the section; null where the photo cuts it off.</summary>
    public static SectionSize? Size(SectionPlane plane, PieceOutline outline, PhotoScale scale)
    {
        var relative = scale.Finding.PixelsPerMm.StandardUncertainty / scale.Finding.PixelsPerMm.Value;
        Measured Side(double mm) => Measured.FromStandardUncertainty(
            mm, Math.Sqrt(Math.Pow(mm * relative, 2) + (2 * Math.Pow(outline.CornerPx / plane.PixelsPerMm, 2))));
        // Of a face that runs off the photo at its ends the width is still seen.
        return outline.SideSeen[0] && outline.SideSeen[2] ? new SectionSize(Side(plane.FirstSideMm), Side(plane.SecondSideMm)) : null;
    }
}
