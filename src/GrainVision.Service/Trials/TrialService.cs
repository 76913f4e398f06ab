using System.Text.Json;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Refusals;
using GrainVision.Grading.Trials;
using GrainVision.Records.Log;
using GrainVision.Records.Measurements;
using GrainVision.Records.Trials;

namespace GrainVision.Service.Trials;

/// <summary>A shop's own proof: hand and photo compared, and put on record.</summary>
internal sealed class TrialService(TrialStore trials, MeasurementStore measurements, TimeProvider time)
{
    /// <summary>1,000: fifty pieces, twenty photos each.</summary>
    private const int MostPhotos = 1_000;

    private static readonly Refusal NoTrial = RefusalCatalog.LogEntryUnknown.Because("There is no trial of that number.", "Check the number; GET /v1/log?kind=trial lists them.");

    public Outcome<TrialAnswer> Enter(TrialRequest request, string who)
    {
        if (request.By is not { Length: > 0 and <= 100 } || string.IsNullOrWhiteSpace(request.By))
            return Bad("it names who measured by hand, in 1 to 100 characters");
        if (request.ByHand.Count is 0 or > HandReading.Most || request.Photos.Count is 0 or > MostPhotos)
            return Bad($"it has 1 to {HandReading.Most} measurements by hand and 1 to {MostPhotos} photos");
        if (request.ByHand.Select((h, i) => (h?.Problem(), i)).FirstOrDefault(p => p.Item1 is not null) is { Item1: { } wrong, i: var at })
            return Bad($"byHand[{at}]: {wrong}");
        var answers = measurements.Answers([.. request.Photos.Select(p => p?.Measurement).OfType<string>().Distinct()]);
        var photos = new List<TrialPhoto>();
        foreach (var (link, i) in request.Photos.Select((p, i) => (p, i)))
        {
            if (link is null || string.IsNullOrWhiteSpace(link.Piece) || link.Photo is null || (link.Measurement is null) == (link.Refused is null))
                return Bad($"photos[{i}]: it names its piece, its photo, and either a measurement or the code of the refusal");
            if (link.Measurement is not null && !answers.ContainsKey(link.Measurement))
                return RefusalCatalog.MeasurementUnknown.Because($"There is no measurement {link.Measurement}.");
            var measurement = link.Measurement is null ? null : JsonSerializer.Deserialize<Measurement>(answers[link.Measurement], ContractJson.Options);
            photos.Add(new TrialPhoto(link.Piece, link.Photo, measurement, link.Refused));
        }

        var trial = new TrialEntry(request.By, request.ByHand, request.Photos, Trial.Compare(request.ByHand, photos));
        var entry = trials.Add(trial, new Recording(who, EntryVersions.None), time.GetUtcNow());
        return Answer(entry.Number, trial);
    }

    public Outcome<TrialAnswer> Find(long number) => trials.Find(number) is { } found ? Answer(number, found.Trial) : NoTrial;

    public Outcome<string> Page(long number) => trials.Find(number) is { } found ? Presentation.Trials.TrialPage.Write(found.Trial.Report, found.Trial.By, found.At) : NoTrial;

    private static TrialAnswer Answer(long number, TrialEntry trial) => new(number, trial.By, trial.Report, $"/v1/trials/{number}/page");

    private static Refusal Bad(string why) => RefusalCatalog.TrialUnreadable.Because($"The trial cannot be read: {why}.", "Correct it and send it again; see /swagger.");
}
