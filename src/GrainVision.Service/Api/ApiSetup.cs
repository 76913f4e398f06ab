using GrainVision.Grading.Findings;
using GrainVision.Records.Measurements;
using GrainVision.Records.Photos;
using GrainVision.Records.RuleBooks;
using GrainVision.Records.Schema;
using Microsoft.AspNetCore.Http.Features;

namespace GrainVision.Service.Api;

/// <summary>The two folders of files: photos as received (never served) and annotated pictures.</summary>
internal sealed record Vaults(PhotoVault Photos, PhotoVault Pictures);

/// <summary>Where the records live. Section <c>GrainVision:Records</c>.</summary>
public sealed class RecordsOptions
{
    public const string Section = "GrainVision:Records";

    /// <summary>Folder of the SQLite file and the photos; made where missing.</summary>
    public string Folder { get; init; } = "data";
}

internal static class ApiSetup
{
    /// <summary>64 MB: the largest photo, its request and the form around them.</summary>
    private const long MostBodyBytes = 64_000_000;

    public static void AddApi(this WebApplicationBuilder builder)
    {
        var folder = builder.Configuration.GetSection(RecordsOptions.Section).Get<RecordsOptions>()?.Folder ?? new RecordsOptions().Folder;
        var services = builder.Services;
        services.AddSingleton(TimeProvider.System);
        services.AddSingleton(_ => RecordsDatabase.Open(Path.Combine(folder, "records.sqlite")));
        services.AddSingleton<MeasurementStore>();
        services.AddSingleton<RuleBookStore>();
        services.AddSingleton(_ => new Vaults(new PhotoVault(Path.Combine(folder, "photos")), new PhotoVault(Path.Combine(folder, "pictures"))));
        services.AddSingleton<Bookshelf>();
        services.AddProblemDetails();
        services.ConfigureHttpJsonOptions(o => ContractJson.Apply(o.SerializerOptions));
        builder.WebHost.ConfigureKestrel(k => k.Limits.MaxRequestBodySize = MostBodyBytes);
        services.Configure<FormOptions>(o => o.MultipartBodyLengthLimit = MostBodyBytes);
    }

    /// <summary>Says in the OpenAPI document which problems a route may answer with.</summary>
    public static RouteHandlerBuilder ProducesProblems(this RouteHandlerBuilder route, params int[] statuses)
    {
        foreach (var status in statuses)
            route.ProducesProblem(status);
        return route;
    }
}
