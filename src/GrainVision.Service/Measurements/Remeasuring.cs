using GrainVision.Grading.Findings;
using GrainVision.Grading.Refusals;
using GrainVision.Grading.Rules;
using GrainVision.MeasuredPhotos;
using GrainVision.Measuring;
using GrainVision.Measuring.Intake;
using GrainVision.Records.Measurements;
using GrainVision.Service.RuleBooks;
using GrainVision.Service.Storage;

namespace GrainVision.Service.Measurements;

/// <summary>Measures a recorded photo again, with the recorded request. Writes nothing.</summary>
internal sealed class Remeasuring(RuleBookCatalog books, ContentStores stores, MeasuringWorkers workers)
{
    /// <summary>Measures again.</summary>
    /// <param name="stored">The record.</param>
    /// <param name="recorded">Its answer, read.</param>
    /// <param name="book">Book to judge by; null: that of the record, at its version.</param>
    /// <param name="callerGone">The caller hung up.</param>
    public async Task<Outcome<MeasuredPhoto>> Run(StoredMeasurement stored, Measurement recorded, RuleBook? book, CancellationToken callerGone)
    {
        if (stores.Photos.Read(stored.PhotoSha256) is not { } photo)
            return RefusalCatalog.PhotoLost.Because($"The photo {stored.PhotoSha256} is missing from the store.", "Restore it from a backup; grainvision verify-log --photos names all that are missing.");
        if (!RequestReader.Read(stored.RequestJson).TryGet(out var request, out var unreadable))
            return unreadable;
        if (book is null && recorded.Verdict is { } verdict && !books.Books.TryGet(verdict.RuleBook, verdict.RuleBookVersion, out book))
        {
            return RefusalCatalog.RuleBookMissing.Because($"Version {verdict.RuleBookVersion} of rule book {verdict.RuleBook} is not in the catalogue any more.");
        }

        return await workers.Run(stop => PhotoJob.Run(photo, WithIgnoredParts(request, recorded), book, stop), callerGone);
    }

    /// <summary>Parts of the form that were ignored stand in no request, only in the warnings of the answer.</summary>
    private static MeasuringRequest WithIgnoredParts(MeasuringRequest request, Measurement recorded) =>
        request with { IgnoredParts = [.. recorded.Warnings.Where(w => w.Code == WarningCode.FormPartIgnored).Select(w => w.Member).OfType<string>()] };
}
