using System.Diagnostics;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Rules;
using GrainVision.Grading.Verdicts;

namespace GrainVision.Grading.Pieces;

/// <summary>
/// Slope of grain of a piece: a face that breaks the limit alone rejects; else each pair of adjacent faces, combined, decides. A face whose
/// neighbour was not measured is judged alone.
/// </summary>
internal static class PieceSlopes
{
    internal static LimitAssessment Judge(JoinedPiece joined, Limit limit) => limit switch
    {
        SlopeOfGrain l => Judge(joined, l),
        SlopeOuterPart l => Judge(joined, l),
        SlopeMiddleHalf l => Judge(joined, l),
        _ => throw new UnreachableException($"{limit.GetType().Name} is no limit of slope."),
    };

    private static LimitAssessment Judge(JoinedPiece joined, SlopeOfGrain limit)
    {
        var shown = WithUnseen(joined, limit, Each(joined, limit, (first, second) => LimitJudge.CombinedSlope(limit, joined.Species, first.Joined.Grain!, second.Joined.Grain!)));
        var byHand = HandSettling.TrueSlope(limit, joined.Species, joined.Hands);
        return shown with { Reasons = [.. byHand is null ? [] : new[] { byHand }, .. shown.Reasons] };
    }

    /// <summary>In the outer part of a face; on the narrow faces of a spar, the whole of which lies there, this is the general limit.</summary>
    private static LimitAssessment Judge(JoinedPiece joined, SlopeOuterPart limit) => WithUnseen(joined, limit, Each(joined, limit, (first, second) =>
    {
        var (one, two) = (Combined(first, second), Combined(second, first));
        return one.Outcome >= two.Outcome ? one : two;

        Reason Combined(JoinedFace face, JoinedFace adjacent) => LimitJudge.CombinedSlope(limit, face.Joined.Grain!, adjacent.Joined.Grain!);
    }));

    private static LimitAssessment Judge(JoinedPiece joined, SlopeMiddleHalf limit)
    {
        var judged = joined.Faces.Values.Select(f => (Face: f, Findings: LimitJudge.Evaluate(limit, f.Joined))).ToList();
        return new LimitAssessment([.. judged.SelectMany(j => j.Findings.Reasons.Select(r => On(j.Face, r)))], [.. judged.SelectMany(j => j.Findings.HandChecks).Distinct()], []);
    }

    /// <summary>Faces that no photo shows hold until their slope, or the true one, is found by hand.</summary>
    private static LimitAssessment WithUnseen(JoinedPiece joined, Limit limit, LimitAssessment shown)
    {
        var unseen = joined.Loose.Count > 0 ? [] : PieceSurfaces.Faces.Where(f => !joined.Faces.ContainsKey(f));
        return shown with { Reasons = [.. shown.Reasons, .. unseen.SelectMany(f => LimitJudge.Evaluate(limit, Unseen.Face(joined, f)).Reasons.Select(r => PieceSurfaces.On(f, r)))] };
    }

    private static LimitAssessment Each(JoinedPiece joined, Limit limit, Func<JoinedFace, JoinedFace, Reason> combine)
    {
        var (reasons, checks, combined) = (new List<Reason>(), new List<string>(), new HashSet<Surface>());
        foreach (var (a, b) in PieceSurfaces.AdjacentFaces)
        {
            if (joined.Faces.GetValueOrDefault(a) is not { Joined.Grain: not null } first || joined.Faces.GetValueOrDefault(b) is not { Joined.Grain: not null } second)
                continue;
            var reason = combine(first, second);
            reasons.Add(reason with
            {
                Faces = [a, b],
                Text = $"{PieceSurfaces.From(a)} with {PieceSurfaces.From(b).ToLowerInvariant()}: {reason.Text}",
                HandCheck = reason.HandCheck is { } hand ? $"{PieceSurfaces.From(a)} and {PieceSurfaces.From(b).ToLowerInvariant()}: {hand}" : null,
            });
            combined.Add(a);
            combined.Add(b);
        }

        foreach (var face in joined.Faces.Values)
        {
            var alone = LimitJudge.Evaluate(limit, face.Joined);
            checks.AddRange(alone.HandChecks);
            // What one face leaves open its neighbours settle; what it breaks alone stays broken.
            reasons.AddRange(alone.Reasons.Where(r => !combined.Contains(face.Surface) || r.Outcome == VerdictOutcome.Reject).Select(r => On(face, r)));
        }

        return new LimitAssessment(reasons, [.. checks.Distinct()], []);
    }

    private static Reason On(JoinedFace face, Reason reason) => PieceSurfaces.On(face.Surface, reason) with
    {
        Photo = reason.At is null ? null : face.SteepestPhoto?.Measurement.Photo.Sha256,
    };
}
