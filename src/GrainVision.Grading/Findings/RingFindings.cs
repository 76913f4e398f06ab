using System.Text.Json.Serialization;
using GrainVision.Grading.Quantities;

namespace GrainVision.Grading.Findings;

/// <summary>Growth rings counted along a radial path of an end.</summary>
/// <param name="Count">Whole rings between the first and the last boundary found (boundaries minus one).</param>
/// <param name="PerInch">Rings per inch over the whole path: 25.4 divided by the mean ring width in mm.</param>
/// <param name="WorstInch">Fewest rings per inch in any one-inch window of the path (ANC-19 2.413); where the
/// path is shorter than an inch, the proportionate number over the whole path.</param>
/// <param name="MeanWidthMm">Mean ring width, mm.</param>
/// <param name="LatewoodShare">Latewood width over ring width, mean over the rings, 0 to 1.</param>
/// <param name="Path">The radial path, from the pith side to the bark side where that could be told, px.</param>
/// <param name="Boundaries">Where the path crosses each ring boundary, in path order, px.</param>
public sealed record RingFinding(
    int Count,
    Measured PerInch,
    Measured WorstInch,
    Measured MeanWidthMm,
    Measured LatewoodShare,
    IReadOnlyList<PointPx> Path,
    IReadOnlyList<PointPx> Boundaries)
{
    /// <summary>The stretch of <see cref="Path"/> that holds the worst inch, px; for the picture.</summary>
    public IReadOnlyList<PointPx>? WorstInchPath { get; init; }

    /// <summary>Width of each ring in path order, mm.</summary>
    public IReadOnlyList<double>? WidthsMm { get; init; }

    /// <summary>True where the path is known to run from the pith side to the bark side.</summary>
    public bool? FromPithSide { get; init; }
}

/// <summary>Where the pith is, or would be if the piece reached that far.</summary>
/// <param name="X">px of the upright photo; may lie outside the photo.</param>
/// <param name="Y">px of the upright photo.</param>
/// <param name="DistanceMm">Distance from the middle of the section, mm.</param>
public sealed record PithFinding(double X, double Y, Measured DistanceMm)
{
    /// <summary>True where the pith lies inside the section (boxed pith).</summary>
    public bool Boxed { get; init; }
}

/// <summary>Angle between the growth rings' tangent and the wide face, degrees, 0 to 90; 90 is true quarter.</summary>
/// <param name="Degrees">At the middle of the section.</param>
/// <param name="Least">Least angle anywhere on the section.</param>
/// <param name="Greatest">Greatest angle anywhere on the section.</param>
/// <param name="Cut">Class of <paramref name="Degrees"/> by the trade's 30/60 convention.</param>
/// <param name="Pith">Pith position by least squares on the ring normals; null where the rings are too straight to tell.</param>
public sealed record RingAngleFinding(Measured Degrees, double Least, double Greatest, Cut Cut, PithFinding? Pith)
{
    /// <summary>Edge-grained by the 45 degree rule of ANC-19 2.402.</summary>
    public bool EdgeGrained => Degrees.Value >= CutClass.EdgeGrainFromDeg;

    /// <summary>Which convention <see cref="Cut"/> follows.</summary>
    public string CutConvention { get; init; } = CutClass.Convention;
}
