using GrainVision.Grading.Cards;
using GrainVision.Grading.Refusals;
using GrainVision.Measuring.Scale.Card;

namespace GrainVision.Measuring.Scale;

/// <summary>Why a photo has no scale, in words for the person who took it. All are status 422: the request was understood.</summary>
internal static class ScaleRefusals
{
    private const string HowToRetake =
        "Take the photo again with the printed card or a steel rule lying flat beside the wood, in the same plane as its surface, " +
        "wholly in the picture and in focus, with the camera held square to it and no glare; or give two points and their distance.";

    public static Refusal NotFound() => Make("scale-not-found", "Neither the printed card nor a steel rule was found in the photo.", HowToRetake);

    public static Refusal CardNotFound() => Make("card-not-found", "The printed card was not found in the photo.", HowToRetake);

    public static Refusal PieceCardNotFound() => Make(
        "piece-card-not-found",
        "No piece card was found in the photo.",
        "Assign the photo to its piece and surface by hand, by its file name or by a manifest; or retake it with the piece card beside the wood.");

    public static Refusal PieceCardNotReadable() => Make(
        "piece-card-not-readable",
        "A piece card lies in the photo, but its number cannot be read with certainty.",
        "Read the figures on the card and assign the photo by hand; or retake it with the whole card uncovered, in focus and without glare.");

    public static Refusal PieceCardsDisagree() => Make(
        "piece-cards-disagree",
        "Piece cards of different pieces or surfaces lie in the photo.",
        "Assign the photo by hand, and leave only the card of the photographed surface in the picture.");

    public static Refusal CardMirrored() => Make(
        "card-mirrored",
        "The photo is mirrored: the printed card shows as in a mirror.",
        "Turn off the camera's mirror setting (front cameras mirror) or undo the flip, and send the photo as it was taken.");

    public static Refusal CardTooLittleSeen(int corners) => Make(
        "card-too-little-seen",
        $"The printed card is covered or cut off: {corners} of its {CardDesign.CornerCount} corners can be read, {CardDesign.LeastCorners} are needed.",
        "Take the photo again with the whole card uncovered, in focus and inside the picture.");

    public static Refusal CardNotFlat() => Make(
        "card-not-flat",
        "The printed card is bent or out of focus: its corners do not fit a plane.",
        "Glue the card on stiff board, lay it flat in the plane of the wood's surface and take the photo again.");

    public static Refusal CardTooTilted() => Make(
        "card-too-tilted",
        "The camera looks at the printed card too much from the side.",
        "Hold the camera square to the wood and the card, within about 30 degrees, and take the photo again.");

    public static Refusal CardTooFar() => Make(
        "card-too-small",
        "The printed card is too small in the picture, or too far from its middle, to carry a scale there.",
        "Lay the card close beside the wood and go nearer, so that the card is at least 250 pixels wide.");

    public static Refusal RuleNotFound() => Make("rule-not-found", "No steel rule was found in the photo.", HowToRetake);

    public static Refusal RuleTooShort(int ticks) => Make(
        "rule-too-short",
        $"Something like a steel rule was found, but only {ticks} graduations can be read.",
        "Show at least 30 mm of a millimetre rule, or two inches of an inch rule, in focus and without glare; or lay the printed card beside the wood.");

    public static Refusal RuleUnitDoubtful() => Make(
        "rule-unit-doubtful",
        "A steel rule was found, but its graduations do not say surely whether they are millimetres or parts of an inch (tenths of an inch are divided like millimetres).",
        "If it is a millimetre rule, or one in 16ths, 32nds or 64ths, say its unit with the request. Otherwise show the rule's whole width and at least 30 mm, or two " +
        "inches, of its length in focus, or lay the printed card or another rule beside the wood. Rules in tenths, fiftieths or hundredths of an inch are not read.");

    public static Refusal RuleUnitContradicts(string asked, string seen) => Make(
        "rule-unit-contradicts",
        $"The request says the rule is graduated in {asked}, but its graduations look like {seen}.",
        "Check the rule's unit and send the photo again with the right one, or leave the unit out.");

    public static Refusal RuleUneven() => Make(
        "rule-uneven",
        "A steel rule was found, but the spacing of its graduations cannot be read surely.",
        "Take the photo again with the rule straight, flat, in focus and without glare, the camera square to it.");

    public static Refusal TooFarFromThePiece() => Make(
        "scale-too-far",
        "The rule or card lies too far from the piece, or is seen too much from the side, to say how large the piece is.",
        "Lay it close beside the wood in the plane of its surface, hold the camera square to both and take the photo again.");

    public static Refusal BadPoints(string why) => Make(
        "scale-points-unusable", why, "Give two points inside the photo, at least 30 pixels apart, and the distance between them in millimetres.");

    public static Refusal BadPitch(string why) => Make(
        "scale-pitch-unusable",
        why,
        $"Give pixels per millimetre between {ScaleUncertaintyBudget.LeastPixelsPerMm} and {ScaleUncertaintyBudget.GreatestPixelsPerMm:0}.");

    public static Refusal BadOutlineSize(string why) => Make(
        "scale-outline-unusable",
        why,
        "Give the four corners in order round the piece, and the lengths of side 1-2 and side 2-3 in millimetres.");

    public static Refusal OutlineSizeMismatch() => Make(
        "scale-outline-mismatch",
        "The stated sides do not fit the shape of the outline.",
        "Check that the first size belongs to side 1-2 and the second to side 2-3, that both are millimetres, and that the camera was square to the surface.");

    private static Refusal Make(string code, string message, string advice) => new(code, "scale", 422, message, advice);
}
