using System.Text.Json;
using GrainVision.Grading.Deliveries;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Pieces;
using GrainVision.Grading.Refusals;
using GrainVision.MeasuredPhotos;
using GrainVision.Measuring;
using GrainVision.Measuring.Intake;
using GrainVision.Measuring.Scale.Card;
using GrainVision.Records.Deliveries;
using GrainVision.Service.Measurements;
using GrainVision.Service.Storage;

namespace GrainVision.Service.Jobs;

/// <summary>
/// Sorts a photo: decodes it, reads its piece card, says where it belongs. An end is measured from the same pixels; a face waits for its piece's ends and
/// keeps the cards that were found.
/// </summary>
internal sealed class PhotoSorting(
    PhotoProgress progress, DeliveryStore deliveries, PhotoMeasuring measuring, MeasuringWorkers workers, ContentStores stores, Enqueue enqueue, TimeProvider time)
{
    /// <summary>No piece card in the picture, or one that cannot be read: name and manifest have their say.</summary>
    private static readonly RefusalKind[] SaysNothing = [RefusalCatalog.PieceCardNotFound, RefusalCatalog.PieceCardNotReadable];

    /// <returns>Why it could be neither sorted nor measured; null where it was, or where a person must say where it belongs.</returns>
    public async Task<StepFailure?> Run(DeliveryPhoto photo, CancellationToken stop)
    {
        if (stores.Photos.Read(photo.Sha256) is not { } bytes)
            return StepFailure.Lost;
        var numbers = deliveries.Pieces(photo.DeliveryId).Select(p => p.Number).ToHashSet();
        var outcome = await workers.RunInBackground(late => Sort(photo, bytes, numbers, late), stop);
        if (!outcome.TryGet(out var sorted, out var refusal))
            return StepFailure.From(refusal);
        if (sorted.Measured is { } measured)
            return await measuring.Record(sorted.Task!, measured);
        if (sorted.Place is not { } place)
            await progress.Unsorted(photo, StepFailure.ProblemOf(sorted.Unsorted!), enqueue);
        else
            await progress.PlaceFace(photo, place.Place, place.By, JsonSerializer.Serialize(sorted.Cards, ContractJson.Options), time.GetUtcNow(), enqueue);
        return null;
    }

    /// <summary>On a worker: everything that needs the pixels.</summary>
    private Outcome<Sorted> Sort(DeliveryPhoto photo, byte[] bytes, HashSet<int> pieces, CancellationToken late)
    {
        if (!PhotoInHand.Open(bytes, IntakeLimits.Default, late).TryGet(out var inHand, out var refusal))
            return refusal;
        using (inHand)
        {
            var card = inHand.ReadPieceCard(late);
            if (card.Refusal is { } noCard && !SaysNothing.Contains(noCard.Kind))
                return noCard.Kind == RefusalCatalog.PieceCardsDisagree ? new Sorted { Unsorted = noCard } : noCard;
            if (!PhotoSorter.Sort(photo.FileName, card.Found, photo.ManifestPlace, pieces).TryGet(out var place, out var unsorted))
                return new Sorted { Unsorted = unsorted };
            if (place.Place.View == View.Face)
                return new Sorted { Place = place, Cards = inHand.FindCards(late) };
            // Whoever waited for this may have given up: then the photo is no longer ours to place.
            late.ThrowIfCancellationRequested();
            if (!progress.PlaceEnd(photo, place.Place, place.By, time.GetUtcNow()))
                throw new OperationCanceledException(late);
            var task = measuring.Prepare(photo with { Place = place.Place }, bytes, ringAngleDegrees: null);
            return new Sorted { Place = place, Task = task, Measured = PhotoJob.Run(inHand, task.Order.Request, null, late) };
        }
    }

    /// <summary>What came of it: a place, with a measurement of an end or the cards of a face; or why there is no place.</summary>
    private sealed record Sorted
    {
        public SortedPlace? Place { get; init; }

        public Refusal? Unsorted { get; init; }

        public CardFindings? Cards { get; init; }

        public PieceTask? Task { get; init; }

        public Outcome<MeasuredPhoto>? Measured { get; init; }
    }
}
