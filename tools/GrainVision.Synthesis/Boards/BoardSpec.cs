namespace GrainVision.Synthesis;

/// <summary>What one board is to be.</summary>
/// <param name="Species">Kebab-case common name.</param>
/// <param name="WideMm">Wide side of its end, mm.</param>
/// <param name="ThickMm">Narrow side of its end, mm.</param>
/// <param name="LengthMm">Its length, mm.</param>
/// <param name="RingsPerInch">Mean over end A.</param>
/// <param name="RingAngleDeg">Ring angle to the wide face at the middle of end A, degrees.</param>
/// <param name="WideSlope">Slope of grain in the wide faces, tangent.</param>
/// <param name="NarrowSlope">Slope of grain in the narrow faces, tangent.</param>
public sealed record BoardSpec(
    string Species, double WideMm, double ThickMm, double LengthMm, double RingsPerInch, double RingAngleDeg, double WideSlope, double NarrowSlope)
{
    /// <summary>Distance of the pith from the middle of end A, mm. 340: rings are nearly straight across the piece, as in sorted spar stock.</summary>
    public double PithDistanceMm { get; init; } = 340;

    /// <summary>Spiral grain, degrees.</summary>
    public double SpiralDeg { get; init; }
}
