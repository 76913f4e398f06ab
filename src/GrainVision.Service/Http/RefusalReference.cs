using System.Globalization;
using System.Text;
using GrainVision.Grading.Refusals;

namespace GrainVision.Service.Http;

/// <summary>The reference of refusals, REFUSALS.md, written from the catalogue. The architecture tests hold the file against it.</summary>
public static class RefusalReference
{
    private static readonly (RefusalPlaces Place, string Words)[] Places =
    [
        (RefusalPlaces.AnyRequest, "any request"),
        (RefusalPlaces.Measuring, "/v1/measurements, /v1/photos"),
        (RefusalPlaces.Uploading, "/v1/deliveries/{id}/photos and its job"),
        (RefusalPlaces.Deliveries, "/v1/deliveries, /v1/pieces, /v1/jobs"),
        (RefusalPlaces.Decisions, "decisions, what-if"),
        (RefusalPlaces.RuleBooks, "/v1/rule-books"),
        (RefusalPlaces.Log, "log, audit, replay"),
        (RefusalPlaces.CommandLine, "command line"),
    ];

    public static string Markdown()
    {
        var text = new StringBuilder();
        text.Append("# Refusals\n\n");
        text.Append("Written from `GrainVision.Grading.Refusals.RefusalCatalog`; do not edit. After a change of the catalogue:\n");
        text.Append("`GRAINVISION_UPDATE_REFERENCE=1 dotnet test tests/GrainVision.Architecture.Tests --filter RefusalReference`.\n\n");
        text.Append("A refused request is answered with `application/problem+json` (RFC 9457) and its members `code`, `stage`, `detail`, `advice`; the advice may be more particular\n");
        text.Append("than here. Programs read `code`. A code has one status.\n");
        foreach (var stage in RefusalCatalog.All.GroupBy(k => k.Stage))
        {
            text.Append(CultureInfo.InvariantCulture, $"\n## Stage `{stage.Key}`\n\n| code | status | where | advice |\n|---|---|---|---|\n");
            foreach (var kind in stage)
                text.Append(CultureInfo.InvariantCulture, $"| `{kind.Code}` | {Status(kind)} | {Where(kind.Places)} | {kind.Advice.Replace("|", "\\|", StringComparison.Ordinal)} |\n");
        }

        return text.ToString();
    }

    /// <summary>What only the command line refuses has no status.</summary>
    private static string Status(RefusalKind kind) =>
        kind.Places == RefusalPlaces.CommandLine ? "none" : Problems.StatusOf(kind.Fate).ToString(CultureInfo.InvariantCulture);

    private static string Where(RefusalPlaces places) => string.Join("; ", Places.Where(p => places.HasFlag(p.Place)).Select(p => p.Words));
}
