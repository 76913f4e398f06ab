using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using OpenCvSharp;

namespace GrainVision.DecisionFit;

/// <summary>What a surface is used for. No picture, and no board, is used for two.</summary>
internal enum Use
{
    /// <summary>The trees are grown on its regions.</summary>
    Trees,

    /// <summary>Probabilities are set right, and the decision is fitted, on it.</summary>
    Decision,

    /// <summary>Both, crossed: each half is judged by trees that were grown on the other.</summary>
    Crossed,

    /// <summary>Figures come from it alone.</summary>
    Figures,
}

/// <summary>A mark that is truly there.</summary>
/// <param name="Kind">What it is; null for one that counts neither way: unsure, or of no class.</param>
/// <param name="Outline">px.</param>
/// <param name="DiameterMm">Least distance between two parallel lines that enclose it, mm.</param>
/// <param name="Resolved">True where the photo shows it: a person with the photo alone could find it.</param>
internal sealed record TrueMark(BlemishKind? Kind, IReadOnlyList<PointPx> Outline, double DiameterMm, bool Resolved)
{
    /// <summary>
    /// True where calling the surface clear would be a loss: a resolved blemish of any kind but a stain. Rule books leave stains to the eye; a faint one has no edge, and on wood that
    /// is darker here and lighter there nobody can say from a photo where it begins.
    /// </summary>
    public bool Counts => Resolved && Kind is not (null or BlemishKind.Stain);
}

/// <summary>A surface with every mark on it known.</summary>
/// <param name="Name">File, or seed.</param>
/// <param name="Drawn">False for a real picture.</param>
/// <param name="Use">What it is used for.</param>
/// <param name="View">End or face.</param>
/// <param name="Corners">Outline of the surface, px.</param>
/// <param name="PixelsPerMm">Scale.</param>
/// <param name="Marks">All that are on it.</param>
/// <param name="Bgr">Makes the pixels; the caller disposes them.</param>
internal sealed record KnownSurface(
    string Name, bool Drawn, Use Use, View View, IReadOnlyList<PointPx> Corners, double PixelsPerMm, IReadOnlyList<TrueMark> Marks, Func<Mat> Bgr)
{
    /// <summary>Half that it belongs to where it is used crossed, 0 or 1; a board is in one of them.</summary>
    public int Half { get; init; }
}
