using GrainVision.Grading.Findings;
using GrainVision.Grading.Verdicts;

namespace GrainVision.Grading.Pieces;

/// <summary>
/// A surface that no photo shows, with what a person found on it. Its limits are asked like those of the others: a look over it must not let a limit
/// pass that has a number.
/// </summary>
internal static class Unseen
{
    internal static Measurement End(JoinedPiece joined, Surface end) => With(joined, end, View.End);

    internal static Measurement Face(JoinedPiece joined, Surface face) => With(joined, face, View.Face);

    private static Measurement With(JoinedPiece joined, Surface surface, View view) => HandEvidence.Apply(
        new Measurement
        {
            View = view,
            Species = joined.Species,
            Photo = new PhotoFinding("", 0, 0),
            PipelineVersion = "",
            Scale = new ScaleFinding(ScaleKind.Points, default),
            Outline = [],
        },
        surface,
        joined.Hands);
}
