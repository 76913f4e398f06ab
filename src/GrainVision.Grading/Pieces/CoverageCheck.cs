using GrainVision.Grading.Findings;
using GrainVision.Grading.Rules;
using GrainVision.Grading.Verdicts;

namespace GrainVision.Grading.Pieces;

/// <summary>
/// What of a piece no photo shows. AC 43.13-1B asks for all four faces and ANC-19 2.413 for either end: a surface, or a stretch of a face, that
/// was not seen holds the piece.
/// </summary>
internal static class CoverageCheck
{
    /// <summary>Id of the books' own limit that asks for all faces.</summary>
    internal const string AllFacesId = "all-faces";

    /// <summary>2: adjacent faces that together show the slope (ANC-19 2.4102).</summary>
    private const int LeastFaces = 2;

    internal static bool IsWhole(JoinedPiece joined) => joined.Loose.Count == 0 && !Missing(joined).Any() && joined.Faces.Values.All(f => f.NoBlemishSearch.Count == 0 && f.NoGrain.Count == 0);

    internal static IEnumerable<Reason> Reasons(JoinedPiece joined, RuleBook book)
    {
        if (joined.Loose.Count > 0)
            return Loose(joined, book);
        return Placed(joined, book);
    }

    /// <summary>
    /// Photos that nobody placed show so many ends and faces at most. Whether they show the faces from end to end a person says, and only once both ends and
    /// two faces are there: what has a number needs its photo.
    /// </summary>
    private static IEnumerable<Reason> Loose(JoinedPiece joined, RuleBook book)
    {
        var source = SourceOf(book);
        foreach (var (view, needed, words) in new[] { (View.End, NeededEvidence.Ends, "ends"), (View.Face, LeastFaces, "faces") })
        {
            var shown = joined.Loose.Where(m => m.View == view).Select(m => m.Photo.Sha256).Distinct(StringComparer.Ordinal).Count();
            if (shown < needed)
            {
                yield return new Reason(AllFacesId, VerdictOutcome.Hold, $"{shown} of {needed} {words} shown at least.", source,
                    HandCheck: $"Photograph the other {words}.") { Asks = QuestionCode.PhotoPlace };
            }
        }

        yield return new Reason(AllFacesId, VerdictOutcome.Hold, "Which surfaces the photos show, and whether from end to end, nobody has said.", source,
            HandCheck: "Look over both ends and all four faces from end to end for blemishes and slope of grain.") { Asks = QuestionCode.LookOver };
    }

    private static string SourceOf(RuleBook book) =>
        book.Limits.FirstOrDefault(l => l.Id == AllFacesId)?.Source ?? "FAA AC 43.13-1B (1998, Change 1 2001) ch. 1 Table 1-1 notes; ANC-19 (1943) 2.413";

    private static IEnumerable<Reason> Placed(JoinedPiece joined, RuleBook book)
    {
        var source = SourceOf(book);
        foreach (var surface in Missing(joined))
            yield return Hold(surface, "no photo of it was measured", NotShownCheck(surface), PieceSurfaces.IsEnd(surface) ? QuestionCode.ShowEnd : QuestionCode.LookOver);
        var limitsBlemishes = book.Limits.Any(l => l is IBlemishLimit);
        var limitsSlope = book.Limits.Any(l => l is ISlopeLimit);
        foreach (var face in joined.Faces.Values)
        {
            if (limitsBlemishes && face.NoBlemishSearch.Count > 0)
                yield return Hold(face.Surface, $"not searched for blemishes {Where(face.NoBlemishSearch)}", BlemishCheck(face.Surface, face.NoBlemishSearch), QuestionCode.LookOver);
            // Where no photo at all gives the slope, the slope limits themselves hold and say why.
            if (limitsSlope && face.NoGrain.Count > 0 && face.Joined.Grain is not null)
                yield return Hold(face.Surface, $"no slope of grain {Where(face.NoGrain)}", SlopeCheck(face.Surface, face.NoGrain), QuestionCode.Slope);
        }

        Reason Hold(Surface surface, string why, string handCheck, QuestionCode asks) =>
            new(AllFacesId, VerdictOutcome.Hold, $"{PieceSurfaces.From(surface)}: {why}.", source, HandCheck: handCheck) { Surface = surface, Asks = asks };
    }

    internal static IEnumerable<Surface> Missing(JoinedPiece joined) =>
        PieceSurfaces.All.Where(s => !joined.Ends.ContainsKey(s) && !joined.Faces.ContainsKey(s));

    internal static string NotShownCheck(Surface surface) => PieceSurfaces.IsEnd(surface)
        ? $"{PieceSurfaces.From(surface)} was not photographed: photograph it, or count its rings in the worst inch and measure their angle to the wide face by hand."
        : $"{PieceSurfaces.From(surface)} was not photographed: photograph it from end to end, or look it over by hand for blemishes and slope of grain.";

    internal static string BlemishCheck(Surface surface, IReadOnlyList<Stretch> gaps) => $"{PieceSurfaces.From(surface)}: look for blemishes by hand, or take photos that overlap, {Where(gaps)}.";

    internal static string SlopeCheck(Surface surface, IReadOnlyList<Stretch> gaps) => $"{PieceSurfaces.From(surface)}: measure the slope of grain by hand {Where(gaps)}: ink or scribe.";

    /// <summary>"from 0 to 1200 mm and from 2400 to 2500 mm of end A".</summary>
    private static string Where(IReadOnlyList<Stretch> gaps) =>
        string.Join(" and ", gaps.Select(g => $"from {g.FromMm:0} to {g.ToMm:0} mm")) + " of end A";
}
