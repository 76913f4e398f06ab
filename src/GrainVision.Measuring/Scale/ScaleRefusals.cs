using GrainVision.Grading.Cards;
using GrainVision.Grading.Refusals;
using GrainVision.Measuring.Scale.Card;

namespace GrainVision.Measuring.Scale;

/// <summary>Why a photo has no scale, in words for the person who took it. In all of them the request was understood.</summary>
internal static class ScaleRefusals
{
    public static Refusal NotFound() => RefusalCatalog.ScaleNotFound.Because("Neither the printed card nor a steel rule was found in the photo.");

    public static Refusal CardNotFound() => RefusalCatalog.CardNotFound.Because("The printed card was not found in the photo.");

    public static Refusal PieceCardNotFound() => RefusalCatalog.PieceCardNotFound.Because("No piece card was found in the photo.");

    public static Refusal PieceCardNotReadable() => RefusalCatalog.PieceCardNotReadable.Because("A piece card lies in the photo, but its number cannot be read with certainty.");

    public static Refusal PieceCardsDisagree() => RefusalCatalog.PieceCardsDisagree.Because("Piece cards of different pieces or surfaces lie in the photo.");

    public static Refusal CardMirrored() => RefusalCatalog.CardMirrored.Because("The photo is mirrored: the printed card shows as in a mirror.");

    public static Refusal CardTooLittleSeen(int corners) => RefusalCatalog.CardTooLittleSeen.Because($"The printed card is covered or cut off: {corners} of its {CardDesign.CornerCount} corners can be read, {CardDesign.LeastCorners} are needed.");

    public static Refusal CardNotFlat() => RefusalCatalog.CardNotFlat.Because("The printed card is bent or out of focus: its corners do not fit a plane.");

    public static Refusal CardTooTilted() => RefusalCatalog.CardTooTilted.Because("The camera looks at the printed card too much from the side.");

    public static Refusal CardTooFar() => RefusalCatalog.CardTooSmall.Because("The printed card is too small in the picture, or too far from its middle, to carry a scale there.");

    public static Refusal RuleNotFound() => RefusalCatalog.RuleNotFound.Because("No steel rule was found in the photo.");

    public static Refusal RuleTooShort(int ticks) => RefusalCatalog.RuleTooShort.Because($"Something like a steel rule was found, but only {ticks} graduations can be read.");

    public static Refusal RuleUnitDoubtful() => RefusalCatalog.RuleUnitDoubtful.Because(
        "A steel rule was found, but its graduations do not say surely whether they are millimetres or parts of an inch (tenths of an inch are divided like millimetres).");

    public static Refusal RuleUnitContradicts(string asked, string seen) => RefusalCatalog.RuleUnitContradicts.Because($"The request says the rule is graduated in {asked}, but its graduations look like {seen}.");

    public static Refusal RuleUneven() => RefusalCatalog.RuleUneven.Because("A steel rule was found, but the spacing of its graduations cannot be read surely.");

    public static Refusal TooFarFromThePiece() => RefusalCatalog.ScaleTooFar.Because("The rule or card lies too far from the piece, or is seen too much from the side, to say how large the piece is.");

    public static Refusal BadPoints(string why) => RefusalCatalog.ScalePointsUnusable.Because(why);

    public static Refusal BadPitch(string why) => RefusalCatalog.ScalePitchUnusable.Because(why, $"Give pixels per millimetre between {ScaleUncertaintyBudget.LeastPixelsPerMm} and {ScaleUncertaintyBudget.GreatestPixelsPerMm:0}.");

    public static Refusal BadOutlineSize(string why) => RefusalCatalog.ScaleOutlineUnusable.Because(why);

    public static Refusal OutlineSizeMismatch() => RefusalCatalog.ScaleOutlineMismatch.Because("The stated sides do not fit the shape of the outline.");
}
