using GrainVision.Grading.Findings;
using GrainVision.Grading.Pieces;

namespace GrainVision.Measuring.Scale.Card;

/// <summary>Whether the surface that a piece card names is of the kind that was measured.</summary>
internal static class CardView
{
    public static IEnumerable<Warning> Warnings(PieceCard? card, View view)
    {
        if (card is not null && view != new PhotoPlace(card.PieceNumber, card.Surface).View)
            yield return new Warning(WarningCode.PieceCardViewDiffers, $"The piece card says {SurfaceWords.From(card.Surface)}, but the photo was measured as {(view == View.End ? "an end" : "a face")}.");
    }
}
