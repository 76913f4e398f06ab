using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Measuring.Intake;
using OpenCvSharp;

namespace GrainVision.Trainer;

/// <summary>Which use a picture is kept for. No picture, and no board, is in two of them.</summary>
internal enum Split
{
    /// <summary>The trees are grown on it.</summary>
    Training,

    /// <summary>Probabilities are set right, and the operating point chosen, on it.</summary>
    Calibration,

    /// <summary>Figures come from it alone.</summary>
    Test,
}

/// <summary>Where a picture comes from.</summary>
internal enum Source
{
    Synthetic,
    RealTile,
    ClearSection,
}

/// <summary>A blemish that is truly there.</summary>
/// <param name="Kind">Its class; null for a mark that is annotated but of no class that is learnt: it counts neither way.</param>
/// <param name="Outline">px.</param>
/// <param name="DiameterMm">Least distance between two parallel lines that enclose it, mm.</param>
internal sealed record TrueBlemish(BlemishKind? Kind, IReadOnlyList<PointPx> Outline, double DiameterMm);

/// <summary>A surface with every blemish on it known.</summary>
/// <param name="Name">File, or seed.</param>
/// <param name="Source">Where it comes from.</param>
/// <param name="Split">What it is kept for.</param>
/// <param name="View">End or face.</param>
/// <param name="Corners">Outline of the surface, px.</param>
/// <param name="PixelsPerMm">Scale.</param>
/// <param name="Blemishes">All that are on it.</param>
/// <param name="Bgr">Makes the pixels; the caller disposes them.</param>
internal sealed record LabelledFace(
    string Name, Source Source, Split Split, View View, IReadOnlyList<PointPx> Corners, double PixelsPerMm, IReadOnlyList<TrueBlemish> Blemishes, Func<Mat> Bgr)
{
    /// <summary>How much each of its candidates weighs: real ones are few.</summary>
    public float Weight { get; init; } = 1;

    /// <summary>Pitch at which the surface is looked at, at most, px/mm.</summary>
    public double FinestPitch { get; init; } = Measuring.Blemishes.LineBackground.PitchPxPerMm;

    public UprightPhoto Photo() => new(Bgr(), "", []);
}
