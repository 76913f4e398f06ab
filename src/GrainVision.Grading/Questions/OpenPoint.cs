using GrainVision.Grading.Findings;
using GrainVision.Grading.Pieces;
using GrainVision.Grading.Rules;
using GrainVision.Grading.Verdicts;

namespace GrainVision.Grading.Questions;

/// <summary>One hold of one use, and which question it is of.</summary>
/// <param name="Book">The use.</param>
/// <param name="Reason">The hold.</param>
/// <param name="Code">What would settle it.</param>
internal sealed record OpenPoint(RuleBook Book, Reason Reason, QuestionCode Code)
{
    /// <summary>The limit; null where it is a rule of this program.</summary>
    internal Limit? Limit => Book.Limits.FirstOrDefault(l => l.Id == Reason.LimitId);

    /// <summary>Points of one id are one question.</summary>
    internal string Id => Code switch
    {
        // A person who stands at a face with a lens looks at all that is in doubt on it.
        QuestionCode.Mark when IsDoubtful && Reason.Surface is { } of => $"mark-{SurfaceWords.From(of).Replace(' ', '-').ToLowerInvariant()}",
        QuestionCode.Mark when Reason.Mark is { } mark => $"mark-{mark.Measurement}-{mark.Blemish}",
        QuestionCode.ShowEnd or QuestionCode.Rings or QuestionCode.RingAngle or QuestionCode.Pith => $"{Word}-{(Reason.Surface is { } surface ? SurfaceWords.From(surface).Replace(' ', '-').ToLowerInvariant() : Reason.Photo)}",
        QuestionCode.ApprovedData => $"{Word}-{Reason.LimitId}",
        _ => Word,
    };

    /// <summary>True of a mark that may be something else, or nothing: a look at it comes before any measuring.</summary>
    internal bool IsDoubtful { get; private init; }

    private string Word => System.Text.Json.JsonNamingPolicy.KebabCaseLower.ConvertName(Code.ToString());

    internal static OpenPoint From(JoinedPiece joined, RuleBook book, Reason reason) => new(book, reason, CodeOf(joined, book, reason))
    {
        IsDoubtful = joined.Marks.Any(m => m.Name == reason.Mark && m.Finding.Probability < BlemishJudge.SureProbability),
    };

    private static QuestionCode CodeOf(JoinedPiece joined, RuleBook book, Reason reason)
    {
        if (reason.Asks is { } known)
            return known;
        if (reason.Mark is not null)
            return QuestionCode.Mark;
        return reason.LimitId switch
        {
            AssumedUnit.LimitId => QuestionCode.RuleUnit,
            UnprovenStreaks.LimitId => QuestionCode.Fibres,
            DoubtfulOutline.LimitId => QuestionCode.Outline,
            _ => book.Limits.FirstOrDefault(l => l.Id == reason.LimitId) is { } limit ? CodeFor(joined, LimitKinds.From(limit).Asks, reason) : QuestionCode.PhotoPlace,
        };
    }

    private static QuestionCode CodeFor(JoinedPiece joined, QuestionCode asks, Reason reason) => asks switch
    {
        QuestionCode.Weight => Gravity(joined),
        // Without a mark: none was found where the photo cannot show a fine crack, or the surface could not be searched.
        QuestionCode.Mark => reason.Surface is { } surface && IsUnsearched(joined, surface) ? QuestionCode.LookOver : QuestionCode.Cracks,
        _ => asks,
    };

    /// <summary>What the specific gravity is missing; where nothing is, it straddles its limit and is found directly.</summary>
    private static QuestionCode Gravity(JoinedPiece joined) =>
        joined.Species is null ? QuestionCode.Species
        : joined.Readings.WeightLb is not null && PieceWeight.SpecificGravity(joined) is null && joined.Readings.MoisturePercent is not null && PieceWeight.HasStep(joined.Species)
            ? QuestionCode.Size
            : QuestionCode.Weight;

    private static bool IsUnsearched(JoinedPiece joined, Surface surface) =>
        joined.Ends.TryGetValue(surface, out var photos) && photos.All(p => CannotSayReasons.Find(p, CannotSayTopic.Blemishes) is not null);
}
