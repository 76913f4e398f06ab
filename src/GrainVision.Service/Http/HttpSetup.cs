using GrainVision.Grading.Findings;

namespace GrainVision.Service.Http;

/// <summary>Wires up what every route shares: problems, the contract's JSON, the largest body.</summary>
internal static class HttpSetup
{
    /// <summary>64 MB: the largest photo, its request and the form around them.</summary>
    private const long MostBodyBytes = 64_000_000;

    public static void AddHttp(this WebApplicationBuilder builder)
    {
        builder.Services.AddProblemDetails();
        builder.Services.ConfigureHttpJsonOptions(o => ContractJson.Apply(o.SerializerOptions));
        builder.WebHost.ConfigureKestrel(k => k.Limits.MaxRequestBodySize = MostBodyBytes);
    }

    /// <summary>Says in the OpenAPI document which problems a route may answer with.</summary>
    public static RouteHandlerBuilder ProducesProblems(this RouteHandlerBuilder route, params int[] statuses)
    {
        foreach (var status in statuses)
            route.ProducesProblem(status);
        return route;
    }
}
