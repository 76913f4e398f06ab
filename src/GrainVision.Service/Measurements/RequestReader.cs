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
    public static Outcome<MeasuringRequest> Read(string json)
    {
        var read = ContractReader.Read<MeasuringRequest>(json);
        return read.Value is { } request
            ? request with { Unknown = read.Unknown.Count == 0 ? null : read.Unknown.ToDictionary() }
            : RefusalCatalog.RequestUnreadable.Because($"The request cannot be read: {read.Problem}.");
    }
}
