using System.Text.Json;
using System.Text.Json.Nodes;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Refusals;
using GrainVision.Measuring;
using GrainVision.Records.Log;
using GrainVision.Records.Measurements;

namespace GrainVision.Service.Measurements;

/// <summary>Replay: the recorded photo measured again with the recorded request, held against the record. Writes nothing.</summary>
internal sealed class ReplayService(MeasurementService measurements, LogReader log, Remeasuring remeasuring)
{
    /// <summary>50: more say no more about why.</summary>
    public const int MostDifferences = 50;

    /// <summary>Members that belong to the occasion, not to the photo.</summary>
    private static readonly string[] OfTheOccasion = ["id", "timingsMs", "picture"];

    public async Task<Outcome<ReplayAnswer>> Replay(string id, CancellationToken callerGone)
    {
        if (!measurements.Find(id).TryGet(out var stored, out var unknown))
            return unknown;
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
