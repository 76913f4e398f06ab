using GrainVision.Grading.Findings;

namespace GrainVision.Grading.Pieces;

/// <summary>The six surfaces of a piece: names and how they lie to each other.</summary>
internal static class PieceSurfaces
{
    internal static IReadOnlyList<Surface> All { get; } = Enum.GetValues<Surface>();

    internal static IReadOnlyList<Surface> Ends { get; } = [Surface.EndA, Surface.EndB];

    internal static IReadOnlyList<Surface> Faces { get; } = [Surface.Face1, Surface.Face2, Surface.Face3, Surface.Face4];

    /// <summary>The four corners of the section: each face with the next one round the piece.</summary>
    internal static IReadOnlyList<(Surface First, Surface Second)> AdjacentFaces { get; } =
    [
        (Surface.Face1, Surface.Face2), (Surface.Face2, Surface.Face3), (Surface.Face3, Surface.Face4), (Surface.Face4, Surface.Face1),
    ];

    internal static bool IsEnd(Surface surface) => surface is Surface.EndA or Surface.EndB;

    /// <summary>"End A", "Face 3".</summary>
    internal static string From(Surface surface)
    {
        var word = SurfaceWords.From(surface);
        return char.ToUpperInvariant(word[0]) + word[1..];
    }

    /// <summary>The reason said of a surface.</summary>
    internal static Reason On(Surface surface, Reason reason) => reason with
    {
        Text = $"{From(surface)}: {reason.Text}",
        HandCheck = reason.HandCheck is { } hand ? $"{From(surface)}: {hand}" : null,
        HandCheckOfSurface = reason.HandCheck,
        Surface = surface,
    };

    internal static bool AreOpposite(Surface a, Surface b) => !IsEnd(a) && !IsEnd(b) && Math.Abs(a - b) == 2;

    internal static bool AreAdjacent(Surface a, Surface b) => !IsEnd(a) && !IsEnd(b) && Math.Abs(a - b) is 1 or 3;
}
