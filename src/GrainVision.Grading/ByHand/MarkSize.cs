namespace GrainVision.Grading.ByHand;

/// <summary>Sizes of a mark by calliper and steel rule, all four together, since they are judged with one interval.</summary>
/// <param name="DiameterMm">Least distance between two parallel lines that enclose it (ANC-19 2.301), mm.</param>
/// <param name="LengthMm">Extent along the piece, mm.</param>
/// <param name="WidthMm">Extent across, mm.</param>
/// <param name="EdgeDistanceMm">From its rim to the nearest edge of the face, mm.</param>
/// <param name="PlusMinusMm">Half-width of the 95 % interval of each, mm, over 0.</param>
public sealed record MarkSize(double DiameterMm, double LengthMm, double WidthMm, double EdgeDistanceMm, double PlusMinusMm)
{
    internal string? Problem() =>
        new[] { DiameterMm, LengthMm, WidthMm }.All(mm => double.IsFinite(mm) && mm > 0) && double.IsFinite(EdgeDistanceMm) && EdgeDistanceMm >= 0
            && double.IsFinite(PlusMinusMm) && PlusMinusMm > 0
            ? null
            : "the sizes of a mark are over 0 mm, its distance from the edge 0 or more, plusMinusMm over 0";
}
