using GrainVision.Grading.Findings;
using GrainVision.Service.Uploads;

namespace GrainVision.Service.Http;

/// <summary>Wires up what every route shares: problems, the contract's JSON, the largest body.</summary>
internal static class HttpSetup
{
    public static void AddHttp(this WebApplicationBuilder builder)
    {
        builder.Services.AddProblemDetails();
        builder.Services.ConfigureHttpJsonOptions(o => ContractJson.Apply(o.SerializerOptions));
        builder.WebHost.ConfigureKestrel(k => k.Limits.MaxRequestBodySize = PhotoFormLimits.MostBytes);
    }

    /// <summary>Says in the OpenAPI document which problems a route may answer with.</summary>
    public static RouteHandlerBuilder ProducesProblems(this RouteHandlerBuilder route, params int[] statuses)
    {
        foreach (var status in statuses)
            route.ProducesProblem(status);
        return route;
    }
}
