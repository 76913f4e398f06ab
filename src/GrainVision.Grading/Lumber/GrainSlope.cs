using GrainVision.Grading.Quantities;

namespace GrainVision.Grading.Lumber;

/// <summary>Slope of grain as a tangent, deviation over length: two faces combined.</summary>
/// <remarks>Wood Handbook FPL-GTR-190 p. 5-29 (read): slope is deviation over length, "1 in N"; the smaller N the steeper.</remarks>
public static class GrainSlope
{
    /// <summary>
    /// True slope from those on two adjacent (perpendicular) faces: the root of the sum of squares, as a tangent, 0 or more.
    /// </summary>
    /// <remarks>
    /// ANC-19 (1943) 2.3022 and MIL-DTL-6070C (1997), read. Exact for a fibre vector (1, a, b), provided that each face shows
    /// the fibres and not a section of the growth layers: a flat-grain face's cathedral figure does not.
    /// </remarks>
    public static double Combined(double a, double b) => Math.Sqrt((a * a) + (b * b));

    /// <summary>
    /// The same with intervals: low ends combined and high ends combined. Both at an end at once is rarer than the stated
    /// coverage, so the interval is wider than it need be and never narrower.
    /// </summary>
    public static Measured Combined(Measured a, Measured b)
    {
        var (x, y) = (a.Magnitude(), b.Magnitude());
        return new Measured(
            Combined(x.Value, y.Value), Combined(x.Low, y.Low), Combined(x.High, y.High), Math.Min(a.Level, b.Level));
    }
}
