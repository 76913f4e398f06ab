namespace GrainVision.Grading.Quantities;

/// <summary>Exact unit conversions.</summary>
public static class Units
{
    /// <summary>Millimetres in an inch. Exact by definition (international inch, 1959): 25.4.</summary>
    public const double MmPerInch = 25.4;

    /// <summary>Millimetres in a foot of 12 inches: 304.8.</summary>
    public const double MmPerFoot = 12 * MmPerInch;

    public static double DegToRad(double degrees) => degrees * Math.PI / 180;

    public static double RadToDeg(double radians) => radians * 180 / Math.PI;
}
