
namespace GrainVision.Measuring.Uncertainty;

/// <summary>Quantities whose intervals are calibrated. The words of calibration.json are the members' names.</summary>
internal enum CalibratedQuantity
{
    /// <summary>Pixels per mm, where it was found in the photo.</summary>
    Scale,

    /// <summary>Both sides of the section.</summary>
    Sides,

    RingsPerInch,

    WorstInch,

    LatewoodShare,

    RingAngle,

    /// <summary>Distance of the pith, calibrated as its inverse, the curvature of the rings: that is what is measured, and its errors are even.</summary>
    PithDistance,

    Slope,

    /// <summary>Worst window, outer eighths and every window along a face.</summary>
    WindowSlope,

    /// <summary>Size and diameter of a knot. Other marks have no edge as sharp in the truth, and keep the wider interval of their own model.</summary>
    KnotSize,
}
