using GrainVision.Grading.ByHand;

namespace GrainVision.Grading.Pieces;

/// <summary>What a person said of a mark holds in every photo that shows it: a mark in two photos is asked about once.</summary>
internal static class MarkAnswers
{
    internal static IReadOnlyList<HandFinding> OfEverySighting(JoinedPiece joined, IReadOnlyList<HandFinding> hands) =>
    [
        .. hands.SelectMany(h => h.Blemish is { } number && joined.Marks.FirstOrDefault(m => m.Sightings.Any(s => s.Photo.Measurement.Id == h.Measurement && s.Number == number)) is { } mark
            ? mark.Sightings.Select(s => h with { Measurement = s.Photo.Measurement.Id, Blemish = s.Number })
            : [h]),
    ];
}
