using GrainVision.Grading.Findings;

namespace GrainVision.Measuring.Uncertainty;

/// <summary>
/// The conditions of a photo by which intervals are calibrated apart: what gave the scale, how wide the rings are in the photo, and what a
/// slope was read from. They are all of the answer itself, so that the same answer always gets the same intervals.
/// </summary>
/// <param name="measurement">The answer before calibration.</param>
/// <param name="ringAngleTold">The face's ring angle was told.</param>
internal sealed class PhotoConditions(Measurement measurement, bool ringAngleTold)
{
    /// <summary>8 and 14 px: below the first, neighbouring rings melt together; above the second, latewood is as wide as the blur of any photo that is accepted.</summary>
    private const double NarrowPx = 8;
    private const double WidePx = 14;

    /// <summary>
    /// In which group a quantity is calibrated; null where its interval is left alone: it was stated by the caller, or it is wide for a reason that drawn wood does not
    /// settle (ring lines of a face whose ring angle nobody told may be those of any cut).
    /// </summary>
    public string? GroupOf(CalibratedQuantity quantity) => quantity switch
    {
        CalibratedQuantity.Scale => Found,
        CalibratedQuantity.Sides => measurement.Scale.Kind == ScaleKind.OutlineSize ? null : Found ?? "stated scale",
        CalibratedQuantity.RingsPerInch or CalibratedQuantity.WorstInch or CalibratedQuantity.LatewoodShare => RingWidth,
        CalibratedQuantity.RingAngle => Found ?? "stated scale",
        CalibratedQuantity.PithDistance => "all",
        CalibratedQuantity.Slope or CalibratedQuantity.WindowSlope => measurement.Grain?.Basis switch
        {
            GrainBasis.FibreStreaks => "fibre streaks",
            GrainBasis.RingLines when ringAngleTold => "ring lines, angle told",
            _ => null,
        },
        _ => "all",
    };

    private string? Found => measurement.Scale.Kind switch { ScaleKind.Card => "card", ScaleKind.Rule => "rule", _ => null };

    private string? RingWidth
    {
        get
        {
            if (measurement.Rings is not { } rings)
                return null;
            return (measurement.Scale.PixelsPerMm.Value * rings.MeanWidthMm.Value) switch
            {
                < NarrowPx => "rings under 8 px",
                < WidePx => "rings of 8 to 14 px",
                _ => "rings over 14 px",
            };
        }
    }
}
