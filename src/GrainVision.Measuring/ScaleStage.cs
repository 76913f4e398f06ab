using GrainVision.Grading.Findings;
using GrainVision.Grading.Refusals;
using GrainVision.Measuring.Intake;
using GrainVision.Measuring.Scale;
using GrainVision.Measuring.Scale.Card;
using GrainVision.Measuring.Scale.SteelRule;
using OpenCvSharp;

namespace GrainVision.Measuring;

/// <summary>Finds the scale of a photo. No scale found is a refusal with advice, never a guess.</summary>
public static class ScaleStage
{
    /// <summary>
    /// Finds the scale as asked. <see cref="OutlineSizeScale"/> needs the section's corners first: the pipeline takes it to
    /// <see cref="OutlineSizeScaleMaker"/>, and handing it to this method is a bug.
    /// </summary>
    /// <param name="photo">Only read.</param>
    /// <param name="request">Null is <see cref="AutoScale"/>: printed card, then steel rule, else the refusal <c>scale-not-found</c>.</param>
    /// <param name="cancel">Checked between passes.</param>
    public static Outcome<PhotoScale> Find(UprightPhoto photo, ScaleRequest? request, CancellationToken cancel)
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

        using var gray = new Mat();
        Cv2.CvtColor(photo.Bgr, gray, ColorConversionCodes.BGR2GRAY);
        using var pyramid = new GrayPyramid(gray);
        return request switch
        {
            CardScale => CardFinder.Find(pyramid, cancel),
            SteelRuleScale rule => SteelRuleReader.Find(pyramid, rule.Unit, CardFinder.FindAll(pyramid, cancel), cancel),
            _ => Auto(pyramid, (request as AutoScale)?.RuleUnit, cancel),
        };
    }

    private static Outcome<PhotoScale> Auto(GrayPyramid pyramid, RuleUnit? ruleUnit, CancellationToken cancel)
    {
        if (CardFinder.Find(pyramid, cancel).TryGet(out var card, out var noCard))
            return card;

        // In a mirrored photo a rule would give the right size and the wrong sign of every slope.
        if (noCard.Code == ScaleRefusals.CardMirrored().Code)
            return noCard;
        // Where no card was found there is none to look for again.
        var cards = noCard.Code == ScaleRefusals.CardNotFound().Code ? [] : CardFinder.FindAll(pyramid, cancel);
        if (SteelRuleReader.Find(pyramid, ruleUnit, cards, cancel).TryGet(out var rule, out var noRule))
            return rule;

        // Something that was seen but could not be used tells the sender more than "nothing found".
        if (noCard.Code != ScaleRefusals.CardNotFound().Code)
            return noCard;
        return noRule.Code != ScaleRefusals.RuleNotFound().Code ? noRule : ScaleRefusals.NotFound();
    }
}
