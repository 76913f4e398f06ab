namespace GrainVision.Grading.Lumber;

/// <summary>Strength at an angle to the grain.</summary>
public static class Hankinson
{
    /// <summary>N = PQ / (P sin² + Q cos²), in the unit of <paramref name="parallel"/> and <paramref name="across"/>.</summary>
    /// <param name="parallel">Strength along the grain (P), over 0.</param>
    /// <param name="across">Strength across the grain (Q), over 0.</param>
    /// <param name="angleRad">Angle between load and grain, rad.</param>
    /// <remarks>R. L. Hankinson's formula as printed in ANC-18 (1944) eq. 2:87 (read).</remarks>
    public static double Strength(double parallel, double across, double angleRad)
    {
        Positive.Check(parallel);
        Positive.Check(across);
        var (sin, cos) = Math.SinCos(angleRad);
        return parallel * across / ((parallel * sin * sin) + (across * cos * cos));
    }
}
