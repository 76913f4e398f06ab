using GrainVision.Grading.Findings;
using GrainVision.Grading.Refusals;
using GrainVision.Measuring.Intake;
using GrainVision.Measuring.Scale;
using GrainVision.Measuring.Scale.Card;
using GrainVision.Measuring.Scale.SteelRule;

namespace GrainVision.Measuring;

/// <summary>Finds the scale of a photo. No scale found is a refusal with advice, never a guess.</summary>
public static class ScaleStage
{
    /// <summary>
    /// Finds the scale as asked. <see cref="OutlineSizeScale"/> needs the section's corners first (<see cref="ScaleSource"/>), and handing it to this
    /// method is a bug.
    /// </summary>
    /// <param name="photo">Only read.</param>
    /// <param name="request">Null is <see cref="AutoScale"/>: printed card, then steel rule, else the refusal <c>scale-not-found</c>.</param>
    /// <param name="cancel">Checked between passes.</param>
    public static Outcome<PhotoScale> Find(UprightPhoto photo, ScaleRequest? request, CancellationToken cancel) => Find(photo, request, null, cancel);

    /// <summary>What gives the scale: found in the photo or stated, or the outline's size where that was stated.</summary>
    /// <param name="photo">Only read.</param>
    /// <param name="request">As for <see cref="Find(UprightPhoto, ScaleRequest?, CancellationToken)"/>.</param>
    /// <param name="belowMm">How far card or rule lie below the surface, mm; null: in one plane.</param>
    /// <param name="shared">The photo's cards where they were, or are to be, looked for elsewhere too; null: looked for here.</param>
    /// <param name="cancel">Checked between passes.</param>
    internal static Outcome<ScaleSource> Seek(UprightPhoto photo, ScaleRequest? request, double? belowMm, CardSearch? shared, CancellationToken cancel)
    {
        if (belowMm is not null && request is OutlineSizeScale or PointsScale or PitchScale)
            return RefusalCatalog.ScaleBelowAbsurd.Because("scaleBelowMm speaks of a card or rule in the photo; the scale was stated instead.");
        if (request is OutlineSizeScale size)
            return new ScaleSource(size);
        if (!Find(photo, request, shared, cancel).TryGet(out var scale, out var refusal) || (belowMm is { } below && !PlaneOffset.Apply(scale, below, photo).TryGet(out scale, out refusal)))
            return refusal;
        return new ScaleSource(scale);
    }

    private static Outcome<PhotoScale> Find(UprightPhoto photo, ScaleRequest? request, CardSearch? shared, CancellationToken cancel)
    {
        ArgumentNullException.ThrowIfNull(photo);
        switch (request)
        {
            case PointsScale points:
                return StatedScale.FromPoints(points, photo.Width, photo.Height);
            case PitchScale pitch:
                return StatedScale.FromPitch(pitch);
            case OutlineSizeScale:
                throw new ArgumentException("An outline's size is turned into a scale once the outline is known.", nameof(request));
        }

        using var own = shared is null ? new CardSearch(photo) : null;
        var search = shared ?? own!;
        return request switch
        {
            CardScale => CardFinder.Find(search, cancel),
            SteelRuleScale rule => SteelRuleReader.Find(search.Pyramid, rule.Unit, CardFinder.FindAll(search, cancel), cancel),
            _ => Auto(search, (request as AutoScale)?.RuleUnit, cancel),
        };
    }

    private static Outcome<PhotoScale> Auto(CardSearch search, SteelRuleUnit? ruleUnit, CancellationToken cancel)
    {
        if (CardFinder.Find(search, cancel).TryGet(out var card, out var noCard))
            return card;

        // In a mirrored photo a rule would give the right size and the wrong sign of every slope.
        if (noCard.Kind == RefusalCatalog.CardMirrored)
            return noCard;
        if (SteelRuleReader.Find(search.Pyramid, ruleUnit, CardFinder.FindAll(search, cancel), cancel).TryGet(out var rule, out var noRule))
            return rule;

        // Something that was seen but could not be used tells the sender more than "nothing found".
        if (noCard.Kind != RefusalCatalog.CardNotFound)
            return noCard;
        return noRule.Kind != RefusalCatalog.RuleNotFound ? noRule : ScaleRefusals.NotFound();
    }
}
