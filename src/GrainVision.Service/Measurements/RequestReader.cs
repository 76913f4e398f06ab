using System.Text.Json;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Refusals;
using GrainVision.Measuring;

namespace GrainVision.Service.Measurements;

/// <summary>
/// Reads the contract's <c>request</c>. Members that this version does not know are kept for a warning, also inside <c>scale</c> and <c>checkTarget</c>;
/// a member given twice is refused, since nobody could say which one was meant.
/// </summary>
internal static class RequestReader
{
    private const string Discriminator = "kind";

    private static readonly JsonDocumentOptions NoDuplicates = new() { AllowDuplicateProperties = false, MaxDepth = 32 };

    public static Outcome<MeasuringRequest> Read(string json)
    {
        try
        {
            using var document = JsonDocument.Parse(json, NoDuplicates);
            if (document.RootElement.ValueKind != JsonValueKind.Object)
                return Unreadable("it is not a JSON object");
            var request = document.Deserialize<MeasuringRequest>(ContractJson.Options)!;
            return request with { Unknown = Unknown(request, document.RootElement) };
        }
        catch (JsonException e)
        {
            return Unreadable(Why(e));
        }
        catch (NotSupportedException)
        {
            return Unreadable("scale has no kind (auto, card, rule, points, outlineSize or pitch)");
        }
    }

    private static Dictionary<string, JsonElement>? Unknown(MeasuringRequest request, JsonElement root)
    {
        var unknown = new Dictionary<string, JsonElement>(request.Unknown ?? new Dictionary<string, JsonElement>());
        Inside("scale", request.Scale);
        Inside("checkTarget", request.CheckTarget);
        return unknown.Count == 0 ? null : unknown;

        void Inside(string name, object? part)
        {
            if (part is null)
                return;
            var known = ContractJson.Options.GetTypeInfo(part.GetType()).Properties.Select(p => p.Name).Append(Discriminator).ToHashSet(StringComparer.Ordinal);
            foreach (var member in root.GetProperty(name).EnumerateObject().Where(m => !known.Contains(m.Name)))
                unknown[$"{name}.{member.Name}"] = member.Value.Clone();
        }
    }

    /// <summary>What is wrong in our words: the serializer's own name our types.</summary>
    private static string Why(JsonException e)
    {
        const string missing = "including: ";
        if (e.Message.IndexOf(missing, StringComparison.Ordinal) is var at and >= 0)
            return $"a member is missing: {e.Message[(at + missing.Length)..].Split(". ", 2)[0].TrimEnd('.').Replace("'", "", StringComparison.Ordinal)}";
        if (e.Message.Contains("uplicate", StringComparison.Ordinal))
            return "a member is given twice";
        var place = string.IsNullOrEmpty(e.Path) || e.Path == "$" ? "" : $" at {e.Path}";
        if (e.Message.Contains("discriminator", StringComparison.Ordinal))
            return $"the kind{place} is not one of auto, card, rule, points, outlineSize, pitch";
        return e.Message.StartsWith("A point", StringComparison.Ordinal) ? $"a point{place} is not [x, y]" : $"it is not the JSON that is expected{place}";
    }

    private static Refusal Unreadable(string why) => RefusalCatalog.RequestUnreadable.Because($"The request cannot be read: {why}.");
}
