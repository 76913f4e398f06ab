using GrainVision.Grading.Findings;

namespace GrainVision.Measuring.Section;

/// <summary>
/// What follows where a side of the outline is not shown to be the wood's edge. Found by the program: nothing is accepted by it, since wood that lies outside is never looked at. Given by
/// a person, who may have meant a part of the piece: it is said.
/// </summary>
internal static class OutlineProof
{
    /// <summary>0.95: share of a side's places that an edge must support. True outlines of drawn wood have 1.00 but for a few; a side through the wood has next to none, a corner off by some millimetres 0.5 to 0.93 (50 drawn photos).</summary>
    private const double Least = 0.95;

    /// <param name="outline">As found or given.</param>
    /// <param name="support">Of each side: share of its places that an edge supports; null where the photo does not show it.</param>
    public static IEnumerable<CannotSay> CannotSay(PieceOutline outline, IReadOnlyList<double?> support)
    {
        if (!outline.Given && Unsupported(outline, support) is { Count: > 0 } sides)
        {
            yield return new CannotSay(
                CannotSayTopic.Outline, $"the piece's edge could not be made sure of along {Words(sides)}: the wood may go on beyond it, or end before it",
                "Look at the outline in the picture and give its four corners; or lay the piece on a plain bench of another colour, straight under the camera, and retake.");
        }
    }

    /// <inheritdoc cref="CannotSay"/>
    public static IEnumerable<Warning> Warnings(PieceOutline outline, IReadOnlyList<double?> support)
    {
        if (outline.Given && Unsupported(outline, support) is { Count: > 0 } sides)
            yield return new Warning(WarningCode.OutlineOffEdge, $"The given outline does not follow an edge of the wood along {Words(sides)}; only what lies within was looked at.");
    }

    private static List<int> Unsupported(PieceOutline outline, IReadOnlyList<double?> support) =>
        [.. Enumerable.Range(0, 4).Where(k => outline.SideSeen[k] && support[k] is { } share && share < Least)];

    private static string Words(List<int> sides) => $"{(sides.Count > 1 ? "sides" : "side")} {string.Join(", ", sides.Select(k => $"{k + 1}-{((k + 1) % 4) + 1}"))} of the outline";
}
