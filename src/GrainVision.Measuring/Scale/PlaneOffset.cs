using GrainVision.Grading.Quantities;
using GrainVision.Grading.Refusals;
using GrainVision.Measuring.Intake;

namespace GrainVision.Measuring.Scale;

/// <summary>
/// A card or rule that lies below or above the surface that is measured: a rule on the bench beside a flitch of 50 mm, 600 mm from the lens, makes everything on top 9 % too large.
/// </summary>
/// <remarks>
/// Pinhole geometry: planes that are parallel and d and d - h from the lens show the same rays, so lengths on the nearer are (d - h)/d of what the farther one says, under any tilt. The
/// distance d is focal length over pixels per mm. Fails where the two planes are not parallel.
/// </remarks>
internal static class PlaneOffset
{
    /// <summary>1.0 of the picture's long side: focal length where no tag tells it, between a phone's wide lens (0.7) and twice that.</summary>
    private const double UsualFocal = 1.0;

    /// <summary>0.35: relative standard uncertainty of that.</summary>
    private const double UsualFocalDoubt = 0.35;

    /// <summary>0.05: of one that the file tells; tags are rounded to whole mm and a lens's focus shifts it.</summary>
    private const double ToldFocalDoubt = 0.05;

    /// <summary>0.5 mm: standard uncertainty of a height that a person states in mm.</summary>
    private const double StatedMm = 0.5;

    /// <summary>A quarter of the distance to the lens: beyond it the two are not photographed together.</summary>
    private const double MostShare = 0.25;

    /// <param name="scale">Of the card or rule.</param>
    /// <param name="belowMm">How far that lies below the surface, mm; negative: above.</param>
    /// <param name="photo">Only its size and focal length are asked.</param>
    /// <returns>The scale of the surface, its interval wider by what is not known of the lens and the height.</returns>
    public static Outcome<PhotoScale> Apply(PhotoScale scale, double belowMm, UprightPhoto photo)
    {
        var focalPx = photo.WholeFocalPx ?? (UsualFocal * Math.Max(photo.Width, photo.Height));
        var distanceMm = focalPx / scale.Finding.PixelsPerMm.Value;
        var share = belowMm / distanceMm;
        if (Math.Abs(share) > MostShare)
            return RefusalCatalog.ScaleBelowAbsurd.Because($"At some {distanceMm:F0} mm from the lens the scale cannot lie {Math.Abs(belowMm):F0} mm {(belowMm > 0 ? "below" : "above")} the surface.");
        var factor = 1 - share;
        var doubt = ScaleUncertaintyBudget.Combine(share * (photo.WholeFocalPx is null ? UsualFocalDoubt : ToldFocalDoubt), StatedMm / distanceMm) / factor;
        var found = scale.Finding.PixelsPerMm;
        var value = found.Value / factor;
        var relative = ScaleUncertaintyBudget.Combine(found.StandardUncertainty / found.Value, doubt);
        return scale with
        {
            Finding = scale.Finding with { PixelsPerMm = Measured.FromStandardUncertainty(value, value * relative), BelowMm = belowMm },
            MmFromPx = scale.MmFromPx is { } h ? [.. h.Select((v, i) => i < 6 ? v * factor : v)] : null,
            RelativeAt = scale.RelativeAt is { } at ? p => ScaleUncertaintyBudget.Combine(at(p), doubt) : null,
        };
    }
}
