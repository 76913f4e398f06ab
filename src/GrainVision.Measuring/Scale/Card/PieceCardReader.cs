using GrainVision.Grading.Cards;
using GrainVision.Grading.Deliveries;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Refusals;
using GrainVision.Measuring.Geometry;
using GrainVision.Measuring.Intake;
using OpenCvSharp;

namespace GrainVision.Measuring.Scale.Card;

/// <summary>Reads piece number and surface from a piece card in a photo, without measuring: by it photos sort themselves.</summary>
/// <remarks>
/// A photo is never sorted on a guess: at least four of the six code markers must be read, and all that were read must agree
/// (<see cref="PieceCardCode"/>); two cards that say different things are refused. Known to fail, always by a refusal: cards narrower than about
/// 230 px, glare or a hand over more than two code markers, mirrored photos.
/// </remarks>
internal static class PieceCardReader
{
    /// <summary>Reads the card.</summary>
    /// <param name="search">The photo's cards, looked for once whoever asks.</param>
    /// <param name="cancel">Looked at while searching.</param>
    /// <returns>What the card says, or a refusal: <c>piece-card-not-found</c>, <c>piece-card-not-readable</c>, <c>piece-cards-disagree</c>.</returns>
    /// <exception cref="OperationCanceledException"><paramref name="cancel"/> was asked for.</exception>
    public static Outcome<PieceCard> Find(CardSearch search, CancellationToken cancel)
    {
        var gray = search.Pyramid[0];
        return Together(CardFinder.FindAll(search, cancel).ConvertAll(rough => Read(gray, CardFit.Refine(gray, rough)?.Map ?? rough)));
    }

    /// <summary>What all the cards of a photo say: one piece and surface, or why not.</summary>
    internal static Outcome<PieceCard> Together(IReadOnlyList<CardReading> readings)
    {
        var pieceCards = readings.Where(r => r.IsPieceCard).ToList();
        if (pieceCards.Count == 0)
            return ScaleRefusals.PieceCardNotFound();
        if (pieceCards.Exists(r => r.Says is null))
            return ScaleRefusals.PieceCardNotReadable();
        return pieceCards.Select(r => r.Says).Distinct().Count() > 1 ? ScaleRefusals.PieceCardsDisagree() : pieceCards[0].Says!;
    }

    /// <summary>Reads the code markers of a card whose place in the picture is known.</summary>
    /// <param name="gray">8-bit gray.</param>
    /// <param name="pxFromCardMm">The card's frame to the picture's pixels.</param>
    internal static CardReading Read(Mat gray, Homography pxFromCardMm)
    {
        var places = PieceCardDesign.CodePlaces;
        var symbols = new int?[places.Count];
        var plain = 0;
        for (var i = 0; i < places.Count; i++)
        {
            if (MarkerBitReader.At(gray, pxFromCardMm, places[i]) is not { } cells)
                continue;
            var asPlain = cells.Damage(CardMarkers.Bits(places[i])) ?? int.MaxValue;
            var (symbol, asSymbol) = Nearest(cells);
            if (asPlain < asSymbol)
                plain++;
            else if (asSymbol < asPlain)
                symbols[i] = symbol;
        }

        var coded = symbols.Count(s => s is not null);

        // A plain card has no code marker and a piece card no plain one in these places; the more numerous say which it is.
        var isPieceCard = coded > plain;
        return new CardReading(isPieceCard, isPieceCard && plain == 0 ? PieceCardCode.Decode(symbols) : null);
    }

    /// <summary>The symbol that the cells are least far from; any two are so far apart that only one can be near enough.</summary>
    private static (int Symbol, int Damage) Nearest(MarkerBitReader cells)
    {
        for (var symbol = 0; symbol < PieceCardCode.Field; symbol++)
        {
            if (cells.Damage(PieceCardCode.Bits(symbol)) is { } damage)
                return (symbol, damage);
        }

        return (-1, int.MaxValue);
    }
}

/// <summary>What was read at one card.</summary>
/// <param name="IsPieceCard">True for a piece card, false for the plain one.</param>
/// <param name="Says">Null where the code could not be read.</param>
internal sealed record CardReading(bool IsPieceCard, PieceCard? Says);
