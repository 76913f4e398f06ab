using GrainVision.Grading.Refusals;

namespace GrainVision.Measuring;

/// <summary>Numbers of a request that no photo could make right.</summary>
internal static class RequestLimits
{
    public static Refusal? Check(MeasuringRequest request)
    {
        if (request.RingAngleDegrees is { } stated && !(stated is >= 0 and <= 90))
            return RefusalCatalog.RingAngleAbsurd.Because("The stated ring angle is not between 0 and 90 degrees.");
        if (request.ScaleBelowMm is { } below && !double.IsFinite(below))
            return RefusalCatalog.ScaleBelowAbsurd.Because("The stated scaleBelowMm is no number.");
        return request.CheckTarget is { } target && !IsBelievable(target)
            ? RefusalCatalog.CheckTargetAbsurd.Because("The check target's numbers cannot be right.")
            : null;
    }

    private static bool IsBelievable(CheckTargetRequest target) =>
        target.PitchMm is null or (>= 0.2 and <= 25)
        && target.AngleDegrees is null or (>= 0 and <= 90)
        && target.CheckLineMm is null or (>= 50 and <= 150)
        && target.PitchMm is null == target.AngleDegrees is null;
}
