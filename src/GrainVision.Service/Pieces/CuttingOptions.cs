using System.ComponentModel.DataAnnotations;
using GrainVision.Cutting;

namespace GrainVision.Service.Pieces;

/// <summary>How the shop saws. Section <c>GrainVision:Cutting</c>.</summary>
public sealed class CuttingOptions
{
    public const string Section = "GrainVision:Cutting";

    /// <summary>Width of a saw cut, mm.</summary>
    [Range(0, 20)]
    public double KerfMm { get; init; } = CutPlanner.UsualKerfMm;

    /// <summary>Cut off each end of a piece before anything else, mm.</summary>
    [Range(0, 500)]
    public double EndTrimMm { get; init; } = CutPlanner.UsualEndTrimMm;
}
