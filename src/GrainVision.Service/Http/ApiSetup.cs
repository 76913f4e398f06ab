using System.ComponentModel.DataAnnotations;
using GrainVision.Grading.Findings;
using GrainVision.Records.Decisions;
using GrainVision.Records.Log;
using GrainVision.Records.Measurements;
using GrainVision.Records.Opening;
using GrainVision.Records.Photos;
using GrainVision.Records.RuleBooks;
using GrainVision.Records.Schema;
using GrainVision.Service.Decisions;
using GrainVision.Service.Guard;
using GrainVision.Service.Log;
using GrainVision.Service.Measurements;
using GrainVision.Service.RuleBooks;
using Microsoft.Extensions.Options;

namespace GrainVision.Service.Http;

/// <summary>The two folders of files: photos as received (never served) and annotated pictures.</summary>
internal sealed record Vaults(ContentAddressedStore Photos, ContentAddressedStore Pictures);

/// <summary>Where the records live. Section <c>GrainVision:Records</c>.</summary>
public sealed class RecordsOptions
{
    public const string Section = "GrainVision:Records";

    /// <summary>Folder of the SQLite file, the photos and the pictures, from the folder the program was started in; made where missing.</summary>
    [Required(AllowEmptyStrings = false)]
    public string Folder { get; init; } = "data";

    internal string In(string name) => Path.Combine(Path.GetFullPath(Folder), name);
}

internal static class ApiSetup
{
    /// <summary>Name of the records' file in their folder.</summary>
    public const string RecordsFile = "records.sqlite";

    /// <summary>64 MB: the largest photo, its request and the form around them.</summary>
    private const long MostBodyBytes = 64_000_000;

    public static void AddApi(this WebApplicationBuilder builder)
    {
        var services = builder.Services;
        services.AddOptions<RecordsOptions>().BindConfiguration(RecordsOptions.Section).ValidateDataAnnotations().ValidateOnStart();
        services.AddSingleton(TimeProvider.System);
        services.AddSingleton(s => FolderLock.TryTake(s.Records().In(""))
            ?? throw new StartRefusedException($"another service uses the data folder {s.Records().In("")}. Stop it, or give this one a folder of its own (GrainVision__Records__Folder)."));
        services.AddSingleton(s => RecordsOpener.Open(s.Records().In(RecordsFile)));
        services.AddSingleton<MeasurementStore>();
        services.AddSingleton<RuleBookStore>();
        services.AddSingleton(s => new Vaults(new ContentAddressedStore(s.Records().In("photos")), new ContentAddressedStore(s.Records().In("pictures"))));
        services.AddSingleton<LogReader>();
        services.AddSingleton<LogService>();
        services.AddSingleton<AuditPack>();
        services.AddSingleton<DecisionStore>();
        services.AddSingleton<DecisionService>();
        services.AddSingleton<Remeasuring>();
        services.AddSingleton<ReplayService>();
        services.AddSingleton<WhatIfService>();
        services.AddSingleton<RuleBookCatalog>();
        services.AddSingleton<MeasurementService>();
        services.AddProblemDetails();
        services.ConfigureHttpJsonOptions(o => ContractJson.Apply(o.SerializerOptions));
        builder.WebHost.ConfigureKestrel(k => k.Limits.MaxRequestBodySize = MostBodyBytes);
    }

    /// <summary>Says in the OpenAPI document which problems a route may answer with.</summary>
    public static RouteHandlerBuilder ProducesProblems(this RouteHandlerBuilder route, params int[] statuses)
    {
        foreach (var status in statuses)
            route.ProducesProblem(status);
        return route;
    }

    internal static RecordsOptions Records(this IServiceProvider services) => services.GetRequiredService<IOptions<RecordsOptions>>().Value;
}
