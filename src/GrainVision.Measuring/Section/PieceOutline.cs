using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;

namespace GrainVision.Measuring.Section;

/// <summary>The piece's outline in the photo.</summary>
/// <param name="Corners">Corners 1 to 4, px; side 1-2 along the wide face of an end, along the length of a face.</param>
/// <param name="Given">True where the caller gave them.</param>
/// <param name="CornerPx">Standard uncertainty of each side's place across itself, px.</param>
/// <param name="AxisUncertaintyRad">Standard uncertainty of the direction of side 1-2, rad.</param>
/// <param name="SideSeen">For sides 1-2, 2-3, 3-4, 4-1: false where the photo's border cuts the piece off, so that no true edge was seen.</param>
public sealed record PieceOutline(
    IReadOnlyList<PointPx> Corners, bool Given, double CornerPx, double AxisUncertaintyRad, IReadOnlyList<bool> SideSeen)
{
    /// <summary>For the same sides: true where a side of the piece shows beyond it, so that wood goes on there.</summary>
    public IReadOnlyList<bool> Arris { get; init; } = [false, false, false, false];

    /// <summary>True where at least one of the long sides was seen, so that the piece has an axis.</summary>
    public bool AxisSeen => SideSeen[0] || SideSeen[2];

    /// <summary>True where the whole outline was seen.</summary>
    public bool Whole => SideSeen.All(s => s);

    /// <summary>What the sender should know of it: that it is not the whole piece.</summary>
    internal IEnumerable<Warning> Warnings
    {
        get
        {
            if (!Whole)
            {
                yield return AxisSeen
                    ? new Warning(WarningCode.PieceRunsOffPhoto, "The piece runs off the photo; only the part that shows was measured.")
                    : new Warning(WarningCode.PieceFillsPhoto, "The piece fills the photo; its edges do not show.");
            }
        }
    }
}
