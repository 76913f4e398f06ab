namespace GrainVision.Grading.Verdicts;

/// <summary>What no verdict sees, and who decides: goes with every verdict, picture and report.</summary>
public static class VerdictCautions
{
    /// <summary>For a line of a picture or a page.</summary>
    public const string Short = "Supports a qualified person. Never a finding of airworthiness.";

    public const string NeverAirworthy = "Never a finding of airworthiness: this supports a qualified person, who decides from the approved data together with the licensed inspector.";

    private const string Unseen = "not show compression failures, compression wood, decay, spiral grain hidden in a flat-grain face, or the inside of the piece.";

    private const string Missed = "a blemish too small, too pale or hidden by dirt, glare or shadow may have been missed.";

    /// <summary>Of a verdict on one photo.</summary>
    internal static IReadOnlyList<string> OfPhoto { get; } =
        [NeverAirworthy, $"A photograph does {Unseen}", $"It speaks of the surface in this photo only; {Missed}"];

    /// <summary>Of a verdict on a piece.</summary>
    internal static IReadOnlyList<string> OfPiece { get; } =
        [NeverAirworthy, $"Photographs do {Unseen}", $"It speaks of the surfaces of this piece as photographed; {Missed}"];
}
