using GrainVision.Grading.Findings;
using GrainVision.Grading.Rules;
using GrainVision.Grading.Verdicts;

namespace GrainVision.Grading.Pieces;

/// <summary>Limits that the ends show: each end that was photographed must meet them, and the worse one governs.</summary>
internal static class PieceEnds
{
    internal static LimitAssessment Judge(JoinedPiece joined, Limit limit, CannotSayTopic topic)
    {
        var (reasons, checks) = (new List<Reason>(), new List<string>());
        foreach (var (end, photos) in joined.Ends)
        {
            // A second photo of the same end settles what a first one could not say; where none can, each says why.
            var usable = photos.Where(p => Shows(p, topic)).ToList();
            foreach (var photo in usable.Count > 0 ? usable : photos)
            {
                var judged = LimitJudge.Evaluate(limit, photo);
                reasons.AddRange(judged.Reasons.Select(r => PieceSurfaces.On(end, r) with { Photo = photo.Photo.Sha256 }));
                checks.AddRange(judged.HandChecks);
            }
        }

        foreach (var end in joined.Loose.Count > 0 ? [] : PieceSurfaces.Ends.Where(e => !joined.Ends.ContainsKey(e)))
            reasons.AddRange(LimitJudge.Evaluate(limit, Unseen.End(joined, end)).Reasons.Select(r => PieceSurfaces.On(end, r) with { Asks = QuestionCode.ShowEnd }));
        return new LimitAssessment(reasons, [.. checks.Distinct()], []);
    }

    private static bool Shows(Measurement m, CannotSayTopic topic) => CannotSayReasons.Find(m, topic) is null && (topic == CannotSayTopic.Rings ? m.Rings is not null : m.RingAngle is not null);
}
