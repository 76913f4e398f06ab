namespace GrainVision.Grading.Lumber;

/// <summary>Change of size per 1 % of moisture, as a share of the size, valid from 6 to 14 % moisture.</summary>
/// <param name="Species">Kebab-case common name.</param>
/// <param name="Radial">Across the rings.</param>
/// <param name="Tangential">Along the rings.</param>
/// <param name="Source">Where it is published, and whether it was read.</param>
public sealed record ShrinkageCoefficients(string Species, double Radial, double Tangential, string Source);

/// <summary>Shrinking and swelling of seasoned wood.</summary>
/// <remarks>Wood Handbook FPL-GTR-190 ch. 13: change of size = size x coefficient x change of moisture.</remarks>
public static class Shrinkage
{
    /// <summary>The species for which a coefficient is on hand; others have none here.</summary>
    public static IReadOnlyList<ShrinkageCoefficients> Known { get; } =
    [
        new("sitka-spruce", 0.00148, 0.00263, "FPL-GTR-190 Table 13-5, from memory, confidence 0.95"),
        new("white-ash", 0.00169, 0.00274, "FPL-GTR-190 Table 13-5, read"),
        new("basswood", 0.00230, 0.00330, "FPL-GTR-190 Table 13-5, read"),
    ];

    /// <summary>Change of size in the unit of <paramref name="size"/>; negative where the wood dries and shrinks.</summary>
    /// <param name="size">Size before, any unit, over 0.</param>
    /// <param name="coefficient">Radial or tangential coefficient per 1 % moisture.</param>
    /// <param name="moistureChangePercent">Moisture after minus before, percentage points.</param>
    public static double Change(double size, double coefficient, double moistureChangePercent)
    {
        Positive.Check(size);
        Positive.Check(coefficient);
        return size * coefficient * moistureChangePercent;
    }
}
