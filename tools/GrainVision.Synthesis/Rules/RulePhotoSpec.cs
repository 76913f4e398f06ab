using GrainVision.Grading.Quantities;

namespace GrainVision.Synthesis.Rules;

/// <summary>Everything that a drawn photo of a rule is made of.</summary>
internal sealed record RulePhotoSpec
{
    public required int Seed { get; init; }

    public required RuleStyle Style { get; init; }

    public required Difficulty Difficulty { get; init; }

    /// <summary>True where the lens's axis is not in the middle of the picture.</summary>
    public required bool Cropped { get; init; }

    public required int Width { get; init; }

    public required int Height { get; init; }

    public required double LengthMm { get; init; }

    public required double WidthMm { get; init; }

    public required RuleEdge Front { get; init; }

    public RuleEdge? Back { get; init; }

    public required RuleCamera Camera { get; init; }

    /// <summary>Where the piece would be, mm of the rule's plane: the scale is asked for there.</summary>
    public required PointPx PlaceMm { get; init; }

    /// <summary>Linear part of the look, 0 to 255: the rule's ground and its lines.</summary>
    public required (byte B, byte G, byte R) Ground { get; init; }

    public required (byte B, byte G, byte R) Ink { get; init; }

    /// <summary>0 to 1: how much of the ink is worn away in patches.</summary>
    public required double Wear { get; init; }

    /// <summary>Along the rule and strength of a reflection; strength 0 for none.</summary>
    public required (double AtMm, double WidthMm, double Strength) Glare { get; init; }

    /// <summary>Part of the rule under a hand, mm along; empty where equal.</summary>
    public required (double FromMm, double ToMm) Hand { get; init; }

    /// <summary>The piece lies on the rule's back beyond this many mm from the read edge; more than the width for no cover.</summary>
    public required double CoveredBeyondMm { get; init; }

    /// <summary>The piece lies over the rule beyond this many mm along it.</summary>
    public required double EndCoveredFromMm { get; init; }

    public required double BlurPx { get; init; }

    public required double Noise { get; init; }

    public required int JpegQuality { get; init; }
}
