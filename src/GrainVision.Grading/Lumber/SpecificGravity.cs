namespace GrainVision.Grading.Lumber;

/// <summary>Specific gravity on oven-dry weight and oven-dry volume, as ANC-19 2.414 asks, and the weight of a whole stick.</summary>
/// <remarks>
/// ANC-19 (1943) 2.20 (read): weigh and measure the whole stick at its present moisture, then move its weight per cubic foot
/// to the moisture that the requirement speaks of by a fixed step per 1 % moisture. The step belongs to the species.
/// </remarks>
public static class SpecificGravity
{
    /// <summary>0.120 lb/ft3 per 1 % moisture, spruce (ANC-19 2.20, read).</summary>
    public const double SpruceStepLbPerFt3 = 0.120;

    /// <summary>0.095 lb/ft3 per 1 % moisture, noble fir (ANC-19 2.20, read).</summary>
    public const double NobleFirStepLbPerFt3 = 0.095;

    /// <summary>
    /// 62.3 lb/ft3: weight of water at room temperature. Computed back from ANC-19's worked spar (23.11 lb/ft3 is 0.371);
    /// 62.4, water at 4 °C, would give 0.370.
    /// </summary>
    public const double WaterLbPerFt3 = 62.3;

    /// <summary>144: square inches in a square foot.</summary>
    private const double SquareInchesPerSquareFoot = 144;

    /// <summary>Volume of a rectangular stick, ft3.</summary>
    /// <param name="thicknessIn">Measured (not nominal) thickness, in.</param>
    /// <param name="widthIn">Measured width, in.</param>
    /// <param name="lengthFt">Length, ft.</param>
    public static double VolumeFt3(double thicknessIn, double widthIn, double lengthFt)
    {
        Positive.Check(thicknessIn);
        Positive.Check(widthIn);
        Positive.Check(lengthFt);
        return thicknessIn * widthIn / SquareInchesPerSquareFoot * lengthFt;
    }

    /// <summary>Weight per cubic foot moved from one moisture to another, lb/ft3.</summary>
    /// <param name="weightLb">Weight at <paramref name="moisturePercent"/>, lb.</param>
    /// <param name="volumeFt3">Volume at that moisture, ft3.</param>
    /// <param name="moisturePercent">Present moisture, % of the oven-dry weight.</param>
    /// <param name="wantedMoisturePercent">Moisture that the requirement speaks of; 0 for oven-dry.</param>
    /// <param name="stepLbPerFt3">Change per 1 % moisture for the species, lb/ft3.</param>
    public static double DensityLbPerFt3(
        double weightLb, double volumeFt3, double moisturePercent, double wantedMoisturePercent, double stepLbPerFt3)
    {
        Positive.Check(weightLb);
        Positive.Check(volumeFt3);
        Positive.Check(stepLbPerFt3);
        ArgumentOutOfRangeException.ThrowIfNegative(moisturePercent);
        ArgumentOutOfRangeException.ThrowIfNegative(wantedMoisturePercent);
        return (weightLb / volumeFt3) + (stepLbPerFt3 * (wantedMoisturePercent - moisturePercent));
    }

    /// <summary>Specific gravity (oven-dry weight and volume) of an oven-dry weight per cubic foot.</summary>
    public static double FromOvenDryDensity(double ovenDryLbPerFt3)
    {
        Positive.Check(ovenDryLbPerFt3);
        return ovenDryLbPerFt3 / WaterLbPerFt3;
    }
}
