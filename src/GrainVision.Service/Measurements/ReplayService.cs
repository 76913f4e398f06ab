using System.Text.Json;
using System.Text.Json.Nodes;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Refusals;
using GrainVision.Measuring;
using GrainVision.Records.Log;
using GrainVision.Records.Measurements;

namespace GrainVision.Service.Measurements;

/// <summary>A version that was another one when the photo was measured.</summary>
internal sealed record VersionDifference(string Of, string? Recorded, string? Present);

/// <summary>A member of the measurement that came out differently.</summary>
internal sealed record MemberDifference(string Path, string? Recorded, string? Now);

/// <summary>What measuring again gave.</summary>
/// <param name="Measurement">Id of the record.</param>
/// <param name="Same">True where numbers and picture are the recorded ones, byte for byte.</param>
/// <param name="MeasurementSame">The answer is, apart from id, timings and the picture's address.</param>
/// <param name="PictureSame">The picture is.</param>
/// <param name="Versions">Versions that differ.</param>
/// <param name="Recorded">Recorded verdict.</param>
/// <param name="Now">Verdict now.</param>
/// <param name="Refused">Why the photo is not measured any more.</param>
/// <param name="Differences">What changed; the first <see cref="ReplayService.MostDifferences"/>.</param>
internal sealed record ReplayAnswer(
    string Measurement, bool Same, bool MeasurementSame, bool PictureSame, IReadOnlyList<VersionDifference> Versions,
    VerdictOutcome? Recorded, VerdictOutcome? Now, string? Refused, IReadOnlyList<MemberDifference> Differences);

/// <summary>Replay: the recorded photo measured again with the recorded request, held against the record. Writes nothing.</summary>
internal sealed class ReplayService(MeasurementStore measurements, LogReader log, Remeasuring remeasuring)
{
    /// <summary>50: more say no more about why.</summary>
    public const int MostDifferences = 50;

    /// <summary>Members that belong to the occasion, not to the photo.</summary>
    private static readonly string[] OfTheOccasion = ["id", "timingsMs", "picture"];

    private static readonly Refusal NoSuch = RefusalCatalog.MeasurementUnknown.Because("There is no measurement of that id.");

    public async Task<Outcome<ReplayAnswer>> Replay(string id, CancellationToken callerGone)
    {
        if (measurements.Find(id) is not { } stored)
            return NoSuch;
        var recorded = JsonSerializer.Deserialize<Measurement>(stored.MeasurementJson, ContractJson.Options)!;
        var versions = Versions(id);
        var outcome = await remeasuring.Run(stored, recorded, null, callerGone);
        if (!outcome.TryGet(out var again, out var refusal))
        {
            // The service being busy, or a missing file, says nothing of the photo.
            return refusal.OurFault || refusal == MeasuringWorkers.Busy
                ? refusal
                : new ReplayAnswer(id, false, false, false, versions, recorded.Verdict?.Outcome, null, $"{refusal.Code}: {refusal.Message}", []);
        }

        var differences = new List<MemberDifference>();
        Compare("", Essence(stored.MeasurementJson), Essence(JsonSerializer.Serialize(again.Measurement, ContractJson.Options)), differences);
        var pictureSame = LogHash.Compute(again.PictureBytes) == stored.PictureSha256;
        return new ReplayAnswer(
            id, differences.Count == 0 && pictureSame, differences.Count == 0, pictureSame, versions, recorded.Verdict?.Outcome, again.Measurement.Verdict?.Outcome, null,
            [.. differences.Take(MostDifferences)]);
    }

    private static JsonObject Essence(string measurementJson)
    {
        var essence = JsonNode.Parse(measurementJson)!.AsObject();
        foreach (var member in OfTheOccasion)
            essence.Remove(member);
        return essence;
    }

    /// <summary>Compares the text of every number and word: 1.0 and 1 are not the same bytes.</summary>
    private static void Compare(string path, JsonNode? recorded, JsonNode? now, List<MemberDifference> differences)
    {
        switch (recorded, now)
        {
            case (JsonObject a, JsonObject b):
                foreach (var name in a.Select(m => m.Key).Union(b.Select(m => m.Key)).ToList())
                    Compare(path.Length == 0 ? name : $"{path}.{name}", a[name], b[name], differences);
                if (!a.Select(m => m.Key).SequenceEqual(b.Select(m => m.Key)) && differences.Count == 0)
                    differences.Add(new MemberDifference(path + " (order of members)", string.Join(',', a.Select(m => m.Key)), string.Join(',', b.Select(m => m.Key))));
                break;
            case (JsonArray a, JsonArray b) when a.Count == b.Count:
                for (var i = 0; i < a.Count; i++)
                    Compare($"{path}[{i}]", a[i], b[i], differences);
                break;
            // A record from before the codes holds a warning as its bare sentence.
            case (JsonValue a, JsonObject b) when path.StartsWith("warnings[", StringComparison.Ordinal) && a.GetValueKind() == JsonValueKind.String:
                Compare(path, a, b["message"], differences);
                break;
            default:
                var (was, @is) = (recorded?.ToJsonString(ContractJson.Options), now?.ToJsonString(ContractJson.Options));
                if (was != @is)
                    differences.Add(new MemberDifference(path, Short(was), Short(@is)));
                break;
        }
    }

    /// <summary>200 characters: whole lists of points would hide what matters.</summary>
    private static string? Short(string? json) => json is { Length: > 200 } ? json[..200] + "…" : json;

    private List<VersionDifference> Versions(string id)
    {
        if (log.Page(new LogFilter { Kind = LogKind.Measurement, Measurement = id }, null, 1) is not [var entry])
            return [];
        using var content = JsonDocument.Parse(entry.Content);
        var (recorded, present) = (content.RootElement.GetProperty("versions").Deserialize<EntryVersions>(ContractJson.Options)!, PresentVersions.Current);
        (string Of, string? Recorded, string? Present)[] all =
        [
            ("pipeline", recorded.Pipeline, present.Pipeline), ("model", recorded.Model, present.Model), ("openCv", recorded.OpenCv, present.OpenCv),
            ("drawing", recorded.Drawing, present.Drawing), ("runtime", recorded.Runtime, present.Runtime),
        ];
        return [.. all.Where(v => v.Recorded != v.Present).Select(v => new VersionDifference(v.Of, v.Recorded, v.Present))];
    }
}
