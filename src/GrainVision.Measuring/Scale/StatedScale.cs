using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Grading.Refusals;

namespace GrainVision.Measuring.Scale;

/// <summary>Scales that the caller states: two points a known distance apart, or the pitch itself.</summary>
internal static class StatedScale
{
    /// <summary>
    /// One pitch for the whole picture from two picked points. Each point counts with 1 px standard uncertainty along the
    /// line, the distance as exact, and 0.2 % for the plane (<see cref="ScaleUncertaintyBudget"/>).
    /// Refused: points that are not finite, outside the photo or less than 30 px apart; a distance of zero, negative or above 20 m.
    /// </summary>
    public static Outcome<PhotoScale> FromPoints(PointsScale request, int widthPx, int heightPx)
    {
        if (!IsInside(request.A, widthPx, heightPx) || !IsInside(request.B, widthPx, heightPx))
            return ScaleRefusals.BadPoints("A point of the scale lies outside the photo.");
        if (!ScaleUncertaintyBudget.IsLengthBelievable(request.DistanceMm))
            return ScaleRefusals.BadPoints("The distance between the two points must be more than 0 and at most 20,000 mm.");

        var lengthPx = request.A.DistanceTo(request.B);
        if (lengthPx < ScaleUncertaintyBudget.LeastPointDistancePx)
            return ScaleRefusals.BadPoints("The two points are too close together to carry a scale.");

        var pitch = lengthPx / request.DistanceMm;
        if (!ScaleUncertaintyBudget.IsPitchBelievable(pitch))
            return ScaleRefusals.BadPoints($"The two points and their distance give {pitch:G3} pixels per millimetre, which cannot be right.");

        var relative = ScaleUncertaintyBudget.Combine(Math.Sqrt(2) * ScaleUncertaintyBudget.PickedPointPx / lengthPx, ScaleUncertaintyBudget.OutOfPlane);
        return PhotoScale.Uniform(new ScaleFinding(
            ScaleKind.Points, Measured.FromStandardUncertainty(pitch, pitch * relative), Marks: [request.A, request.B]));
    }

    /// <summary>The caller's own pitch, with 0.1 % standard uncertainty. Refused outside 0.05 to 500 px/mm.</summary>
    public static Outcome<PhotoScale> FromPitch(PitchScale request)
    {
        if (!ScaleUncertaintyBudget.IsPitchBelievable(request.PixelsPerMm))
            return ScaleRefusals.BadPitch("The stated pixels per millimetre cannot be right.");
        return PhotoScale.Uniform(new ScaleFinding(
            ScaleKind.Pitch, Measured.FromStandardUncertainty(request.PixelsPerMm, request.PixelsPerMm * ScaleUncertaintyBudget.StatedPitch)));
    }

    /// <summary>Half a pixel beyond the outer pixel centres still lies on a pixel. False for NaN.</summary>
    private static bool IsInside(PointPx p, int widthPx, int heightPx) =>
        p.X >= -0.5 && p.X <= widthPx - 0.5 && p.Y >= -0.5 && p.Y <= heightPx - 0.5;
}
