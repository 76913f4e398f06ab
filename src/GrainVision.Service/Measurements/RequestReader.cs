using System.Text.Json;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Refusals;
using GrainVision.Measuring;
using GrainVision.Service.Http;

namespace GrainVision.Service.Measurements;

/// <summary>
/// Reads the contract's <c>request</c>. Members that this version does not know are kept for a warning, also inside <c>scale</c> and <c>checkTarget</c>;
/// a member given twice is refused, since nobody could say which one was meant.
/// </summary>
internal static class RequestReader
{
    public static Outcome<MeasuringRequest> Read(string json)
    {
        try
        {
            using var document = JsonDocument.Parse(json, new JsonDocumentOptions { MaxDepth = ContractJson.Options.MaxDepth });
            if (document.RootElement.ValueKind != JsonValueKind.Object)
                return Unreadable("it is not a JSON object");
            var shape = JsonShape.Check(document.RootElement, ContractJson.Options.GetTypeInfo(typeof(MeasuringRequest)));
            if (shape.Problem is { } problem)
                return Unreadable(problem);
            var request = document.Deserialize<MeasuringRequest>(ContractJson.Options)!;
            return request with { Unknown = shape.Unknown.Count == 0 ? null : shape.Unknown.ToDictionary() };
        }
        catch (JsonException e)
        {
            return Unreadable($"it is not the JSON that is expected{JsonBody.PlaceOf(e)}");
        }
    }

    private static Refusal Unreadable(string why) => RefusalCatalog.RequestUnreadable.Because($"The request cannot be read: {why}.");
}
