using GrainVision.Grading.ByHand;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Verdicts;

namespace GrainVision.Grading.Pieces;

/// <summary>
/// What a photo taken closer says of a doubtful mark. It answers only where it is sharper than the photo that was in doubt and shows either nothing or one
/// mark that is sure; that it was taken of the mark is the person's word.
/// </summary>
public static class CloseUps
{
    /// <summary>Puts into the finding what the close-up shows.</summary>
    /// <param name="finding">Names the mark and the close-up.</param>
    /// <param name="photo">The photo that is in doubt; null where the piece has none of that id.</param>
    /// <param name="closeUp">The close-up; null where there is none of that id.</param>
    /// <param name="answered">The finding with what the mark is.</param>
    /// <returns>Why it answers nothing, or null.</returns>
    public static string? Problem(HandFinding finding, Measurement? photo, Measurement? closeUp, out HandFinding answered)
    {
        ArgumentNullException.ThrowIfNull(finding);
        answered = finding;
        if (finding.Is is not null || finding.Size is not null)
            return "a close-up says by itself what the mark is: leave out is and size";
        if (photo is null || finding.Blemish is not > 0 || photo.Blemishes.ElementAtOrDefault(finding.Blemish.Value - 1) is not { } mark)
            return "a close-up is of a mark: name its measurement and its number on the picture";
        if (closeUp is null)
            return $"there is no measurement {finding.CloseUp}";
        if (closeUp.View != photo.View || closeUp.Photo.Sha256 == photo.Photo.Sha256 || closeUp.Scale.IsUnitAssumed || CannotSayReasons.Find(closeUp, CannotSayTopic.Blemishes) is not null
            || closeUp.Scale.PixelsPerMm.Low < Math.Max(BlemishJudge.LeastPxPerMmForCracks(closeUp.View), photo.Scale.PixelsPerMm.High))
            return $"the close-up must be another photo of the same kind of surface, searched for marks, with a scale that is told, and finer than the first and than {BlemishJudge.LeastPxPerMmForCracks(closeUp.View):0} pixels a millimetre";
        if (closeUp.Blemishes.Count == 0)
        {
            answered = finding with { Is = HandFinding.NoBlemish };
            return null;
        }

        if (closeUp.Blemishes is not [{ Kind: not BlemishKind.Unknown } seen] || seen.Probability < BlemishJudge.SureProbability || !double.IsFinite(BlemishPlace.Rim(seen)))
            return "the close-up shows more than one mark, or one that is not sure: look with a lens and say what it is";
        answered = finding with
        {
            Is = BlemishWords.Code(seen.Kind),
            // Where it lies on the face the first photo shows.
            Size = new MarkSize(seen.DiameterMm.Value, seen.LengthMm, seen.WidthMm, mark.EdgeDistanceMm, Math.Max(BlemishPlace.Rim(seen), BlemishPlace.Rim(mark))),
        };
        return null;
    }
}
