using GrainVision.Grading.Findings;

namespace GrainVision.Synthesis;

/// <summary>Sizes and ring figures of the piece, before it is placed in a log.</summary>
/// <param name="Size1Mm">Along side 1-2 of the photographed surface.</param>
/// <param name="Size2Mm">Along side 2-3.</param>
/// <param name="DepthMm">Away from the camera.</param>
/// <param name="WideMm">Wide side of the piece's end.</param>
/// <param name="ThickMm">Narrow side of the piece's end.</param>
/// <param name="Narrow">The photographed face is the narrow one.</param>
/// <param name="RingsPerInch">Mean over the radial path.</param>
/// <param name="ShownMm">Length of side 1-2 that the photo is to show.</param>
internal sealed record Piece(double Size1Mm, double Size2Mm, double DepthMm, double WideMm, double ThickMm, bool Narrow, double RingsPerInch, double ShownMm)
{
    /// <summary>Scale below which the rings would be finer than the difficulty allows, px per mm.</summary>
    public double LeastPxPerMm { get; init; }
}

internal static class PieceSampler
{
    /// <summary>Share of the frame that the piece fills along its long side.</summary>
    private const double Fill = 0.80;

    /// <summary>33 mm: a rule and the gap to it.</summary>
    private const double RuleMm = 33;

    public static Piece Draw(SceneRequest request, SeededRandom random, int widthPx, int heightPx)
    {
        var perInch = request.RingsPerInch ?? random.Fork("rings-per-inch").LogUniform(4, 30);
        // Least pixels a ring: what the difficulty promises, see Difficulty.
        var leastPx = request.Difficulty switch { Difficulty.Easy => 10.0, Difficulty.Medium => 6.5, _ => 3.2 };
        var leastScale = request.PixelsPerMm is null ? perInch * leastPx / 25.4 : 0.01;
        var longest = Fill * widthPx / leastScale;
        var broadest = Math.Max(18, (0.78 * heightPx / leastScale) - RuleMm);
        var piece = request.View == View.End ? End(request, random.Fork("size"), perInch, longest, broadest) : Face(request, random.Fork("size"), perInch, longest, broadest);
        return piece with { LeastPxPerMm = leastScale };
    }

    private static Piece End(SceneRequest request, SeededRandom random, double perInch, double longest, double broadest)
    {
        // Rough 4/4 to 12/4 stock, 2 to 8 inches wide; a photographer comes closer to a fine-ringed piece.
        var wide = request.WidthMm ?? Math.Max(38, Math.Min(random.Uniform(55, 205), longest));
        var thick = request.ThicknessMm ?? Math.Min(random.Pick(25.4, 38.1, 50.8, 50.8, 63.5, 76.2) * random.Uniform(0.92, 1.05), Math.Min(wide * 0.8, broadest));
        return new Piece(wide, thick, 140, wide, thick, false, perInch, wide);
    }

    private static Piece Face(SceneRequest request, SeededRandom random, double perInch, double longest, double broadest)
    {
        var thick = request.ThicknessMm ?? random.Pick(25.4, 38.1, 50.8, 50.8) * random.Uniform(0.95, 1.05);
        var wide = request.WidthMm ?? Math.Min(random.Uniform(70, 180), broadest);
        wide = request.WidthMm ?? Math.Max(wide, thick * 1.2);
        var narrow = request.NarrowFace ?? random.Chance(0.3);
        var across = narrow ? thick : wide;
        // On a face the rings are as wide as on the end or wider: the same bound holds for the length shown.
        var shown = Math.Min(random.Uniform(1.3, narrow ? 4.0 : 2.6) * across, longest);
        shown = Math.Max(Math.Min(shown, 520), across * 1.15);
        var whole = random.Chance(0.15);
        var length = request.LengthMm ?? (whole ? shown : 2400);
        return new Piece(length, across, narrow ? wide : thick, wide, thick, narrow, perInch, Math.Min(shown, length));
    }
}
