namespace GrainVision.Grading.Lumber;

/// <summary>Moisture content of wood.</summary>
public static class Moisture
{
    /// <summary>
    /// Moisture content as a share of the oven-dry weight: (wet - dry) / dry. 0.12 is 12 %. Green wood may exceed 1.
    /// </summary>
    /// <param name="wet">Weight as found, any unit.</param>
    /// <param name="ovenDry">Oven-dry weight of the same sample in the same unit.</param>
    /// <remarks>ANC-19 (1943) 2.2110 (read).</remarks>
    /// <exception cref="ArgumentOutOfRangeException">A weight is not positive, or the dry one is the heavier.</exception>
    public static double Content(double wet, double ovenDry)
    {
        Positive.Check(wet);
        Positive.Check(ovenDry);
        ArgumentOutOfRangeException.ThrowIfLessThan(wet, ovenDry);
        return (wet - ovenDry) / ovenDry;
    }
}
