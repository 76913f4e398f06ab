using GrainVision.Grading.ByHand;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Pieces;
using GrainVision.Grading.Rules;
using GrainVision.Grading.Verdicts;

namespace GrainVision.Grading.Questions;

/// <summary>
/// The questions that are left on a piece: each of the smallest thing that settles it, once, in the order of the walk. Nothing is asked for a use that is
/// rejected or decided, nor what no answer can bring to an accept.
/// </summary>
public static class QuestionFinder
{
    private static readonly string[] Rings = ["worstInch", "perInch"];

    private static readonly string[] Angles = ["ringAngle", "leastRingAngle", "greatestRingAngle"];

    /// <param name="assessment">The piece as it stands.</param>
    /// <param name="open">Uses that are on hold.</param>
    public static IReadOnlyList<Question> Find(PieceAssessment assessment, IReadOnlyList<RuleBook> open)
    {
        ArgumentNullException.ThrowIfNull(assessment);
        ArgumentNullException.ThrowIfNull(open);
        var joined = assessment.ByHand;
        var points = open.SelectMany(book => Needed([.. assessment.GiveVerdict(book).Reasons
            .Where(r => r.Outcome == VerdictOutcome.Hold).Select(r => OpenPoint.From(joined, book, r))])).ToList();
        var ofUse = points.GroupBy(p => p.Book.Id, StringComparer.Ordinal).ToDictionary(g => g.Key, g => g.Select(p => p.Id).Distinct().Count(), StringComparer.Ordinal);
        return
        [
            .. points.GroupBy(p => p.Id, StringComparer.Ordinal).Select(g => Ask(joined, [.. g], ofUse))
                .OrderBy(q => q.Step).ThenBy(q => q.Code).ThenBy(q => q.Surface).ThenBy(q => q.StationMm).ThenBy(q => q.Id, StringComparer.Ordinal),
        ];
    }

    /// <summary>Checks of the uses that hold for every piece.</summary>
    /// <param name="books">The uses.</param>
    public static IReadOnlyList<WalkLine> Walk(IReadOnlyList<RuleBook> books)
    {
        ArgumentNullException.ThrowIfNull(books);
        return
        [
            .. books.SelectMany(b => b.Limits.OfType<HandCheckOnly>().Where(l => l.Id != CoverageCheck.AllFacesId).Select(l => (Book: b.Id, Limit: l)))
                .GroupBy(x => x.Limit.HandCheck, StringComparer.Ordinal)
                .Select(g => new WalkLine(
                    g.First().Limit.Id, g.First().Limit.Views.Contains(View.Face) ? WalkStep.FacesWithLight : WalkStep.EndsWithLens, g.Key, [.. g.Select(x => x.Book).Distinct()]))
                .OrderBy(l => l.Step),
        ];
    }

    /// <summary>
    /// Of one use: where approved data must decide, no other answer brings an accept; where the true slope is to be found by hand, that settles the streaks
    /// too.
    /// </summary>
    private static IEnumerable<OpenPoint> Needed(IReadOnlyList<OpenPoint> points)
    {
        if (points.Any(p => p.Code == QuestionCode.ApprovedData))
            return points.Where(p => p.Code == QuestionCode.ApprovedData);
        return points.Any(p => p.Code == QuestionCode.Slope) ? points.Where(p => p.Code != QuestionCode.Fibres) : points;
    }

    private static Question Ask(JoinedPiece joined, IReadOnlyList<OpenPoint> points, Dictionary<string, int> ofUse)
    {
        var first = points[0];
        IReadOnlyList<string> uses = [.. points.Select(p => p.Book.Id).Distinct(StringComparer.Ordinal)];
        var surfaces = points.Select(p => p.Reason.Surface).Distinct().ToList();
        return new Question(
            first.Id, first.Code, StepOf(first), QuestionText.Compose(joined, points), AnswerTo(joined, points), uses, [.. uses.Where(u => ofUse[u] == 1)])
        {
            Surface = surfaces.Count == 1 ? surfaces[0] : null,
            Surfaces = [.. surfaces.OfType<Surface>().Order()],
            StationMm = first.Code == QuestionCode.Mark && MarksOf(points).Count == 1 ? first.Reason.StationMm : null,
            Photos = PhotosOf(joined, points),
        };
    }

    private static WalkStep StepOf(OpenPoint point) => point.Code switch
    {
        QuestionCode.ShowEnd or QuestionCode.Rings or QuestionCode.RingAngle or QuestionCode.Pith => WalkStep.EndsWithLens,
        QuestionCode.Mark when point.Reason.Surface is Surface.EndA or Surface.EndB => WalkStep.EndsWithLens,
        QuestionCode.Mark or QuestionCode.Cracks or QuestionCode.LookOver => WalkStep.FacesWithLight,
        QuestionCode.Moisture => WalkStep.Meter,
        QuestionCode.Weight or QuestionCode.Size => WalkStep.Scale,
        QuestionCode.Slope or QuestionCode.Fibres => WalkStep.Scribe,
        _ => WalkStep.Desk,
    };

    private static QuestionAnswer? AnswerTo(JoinedPiece joined, IReadOnlyList<OpenPoint> points)
    {
        var surface = points[0].Reason.Surface;
        IReadOnlyList<string> limits = [.. points.Where(p => !HandSettling.HasNumber(p.Limit, p.Reason)).Select(p => p.Reason.LimitId).Distinct(StringComparer.Ordinal)];
        return points[0].Code switch
        {
            QuestionCode.ShowEnd => new QuestionAnswer(HandKind.Rings) { Quantities = [.. Rings, .. Angles], Limits = limits, Surface = surface },
            QuestionCode.Rings => new QuestionAnswer(HandKind.Rings) { Quantities = Rings, Surface = surface, Mark = Unplaced(points[0]) },
            QuestionCode.RingAngle => new QuestionAnswer(HandKind.RingAngle) { Quantities = Angles, Surface = surface, Mark = Unplaced(points[0]) },
            QuestionCode.Pith => new QuestionAnswer(HandKind.Look) { Limits = limits, Surface = surface },
            QuestionCode.Mark => MarksOf(points) is [var one]
                ? new QuestionAnswer(HandKind.Mark) { Limits = limits, Mark = one, Marks = [one] }
                : new QuestionAnswer(HandKind.Mark) { Marks = MarksOf(points) },
            QuestionCode.Cracks or QuestionCode.LookOver or QuestionCode.Fibres or QuestionCode.RuleUnit or QuestionCode.Outline => new QuestionAnswer(HandKind.Look) { Limits = limits },
            QuestionCode.Moisture => new QuestionAnswer(HandKind.Moisture) { Quantities = [HandQuantities.Moisture] },
            QuestionCode.Weight => new QuestionAnswer(HandKind.Weight)
            {
                Quantities = [joined.Readings.WeightLb is null && PieceWeight.HasStep(joined.Species) ? HandQuantities.Weight : HandQuantities.SpecificGravity],
            },
            QuestionCode.Size => new QuestionAnswer(HandKind.Size) { Quantities = [HandQuantities.Width, HandQuantities.Thickness, HandQuantities.Length] },
            QuestionCode.Slope => new QuestionAnswer(HandKind.Slope) { Quantities = [HandQuantities.CombinedSlope] },
            QuestionCode.Species => new QuestionAnswer(HandKind.Species),
            _ => null,
        };

        // A photo that nobody placed is named by its measurement.
        MarkName? Unplaced(OpenPoint point) => surface is null && point.Reason.Photo is { } photo && joined.Loose.FirstOrDefault(m => m.Photo.Sha256 == photo) is { } m ? new MarkName(m.Id, 0) : null;
    }

    /// <summary>In the order of their numbers.</summary>
    internal static IReadOnlyList<MarkName> MarksOf(IReadOnlyList<OpenPoint> points) =>
        [.. points.Select(p => p.Reason.Mark).OfType<MarkName>().Distinct().OrderBy(m => m.Measurement, StringComparer.Ordinal).ThenBy(m => m.Blemish)];

    private static IReadOnlyList<string> PhotosOf(JoinedPiece joined, IReadOnlyList<OpenPoint> points) =>
        joined.Marks.Where(m => MarksOf(points).Contains(m.Name)).ToList() is { Count: > 0 } marks
            ? [.. marks.SelectMany(m => m.Sightings.Select(s => s.Photo.Measurement.Photo.Sha256)).Distinct(StringComparer.Ordinal)]
            : [.. points.Select(p => p.Reason.Photo).OfType<string>().Distinct(StringComparer.Ordinal)];
}
