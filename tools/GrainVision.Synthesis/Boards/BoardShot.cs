using GrainVision.Grading.Findings;
using GrainVision.Grading.Pieces;

namespace GrainVision.Synthesis;

/// <summary>One photo of a board.</summary>
/// <param name="Surface">What it shows.</param>
/// <param name="LookAtMm">Of a face: place along it that the photo looks at, mm from its middle.</param>
/// <param name="Whole">Of a face: it shows from end to end.</param>
public sealed record BoardShot(Surface Surface, double LookAtMm, bool Whole)
{
    /// <summary>5 mm: to which a person reads the tape beside a photo's corner.</summary>
    private const double TapeStepMm = 5;

    /// <summary>Where the photographer says it belongs.</summary>
    /// <param name="piece">Number of the piece.</param>
    /// <param name="stationMm">Of a face: true station of the outline's corner 1, mm from end A.</param>
    public PhotoPlace Place(int piece, double stationMm) => new(piece, Surface)
    {
        WholeFace = Whole,
        StationMm = Surface <= Surface.EndB || Whole ? null : Math.Max(0, Math.Round(stationMm / TapeStepMm) * TapeStepMm),
    };
}

/// <summary>How a board is photographed.</summary>
/// <param name="Difficulty">Of each photo.</param>
/// <param name="Scale">What lies beside the piece.</param>
/// <param name="Harmless">Pencil, stamps and streaks by chance.</param>
public sealed record BoardCare(Difficulty Difficulty, ScaleProp Scale, bool Harmless)
{
    /// <summary>6.8 px/mm: scale of a photo of a face, an eighth more than the search for fine cracks asks for (6).</summary>
    public double FacePxPerMm { get; init; } = 6.8;

    /// <summary>The piece card that lies beside each surface, by it; null for the plain card or a rule.</summary>
    public Func<Surface, PieceCard>? Card { get; init; }
}
