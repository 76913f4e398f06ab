using System.Net;
using Microsoft.AspNetCore.Server.Kestrel.Core;
using Microsoft.Extensions.Options;

namespace GrainVision.Service.Guard;

/// <summary>Wires up who may call and where the service listens.</summary>
internal static class GuardSetup
{
    /// <summary>5080: a free port of this machine alone, where nothing else is said.</summary>
    private const string DefaultUrl = "http://127.0.0.1:5080";

    private static readonly string[] PlacesThatSetAddresses = ["urls", "http_ports", "https_ports"];

    public static void AddGuard(this WebApplicationBuilder builder)
    {
        builder.Services.AddOptions<GuardOptions>()
            .BindConfiguration(GuardOptions.Section)
            .Validate<ILogger<GuardOptions>>((options, _) => options.Problem() is { } problem ? throw new StartRefusedException(problem) : true)
            .ValidateOnStart();
        if (PlacesThatSetAddresses.All(p => string.IsNullOrEmpty(builder.Configuration[p])) && !builder.Configuration.GetSection("Kestrel:Endpoints").Exists())
            builder.WebHost.UseUrls(DefaultUrl);
        builder.WebHost.ConfigureKestrel((_, kestrel) =>
        {
            kestrel.AddServerHeader = false;
            // Called for every address before it is bound, wherever it was configured: nothing is open for even a moment.
            kestrel.ConfigureEndpointDefaults(listen => RefuseBeyondLoopback(listen, kestrel.ApplicationServices));
        });
    }

    public static void UseGuard(this WebApplication app)
    {
        app.UseMiddleware<SecurityHeaders>();
        app.UseMiddleware<ApiKeyGuard>();
    }

    private static void RefuseBeyondLoopback(ListenOptions listen, IServiceProvider services)
    {
        if (listen.IPEndPoint is not { } endPoint || IPAddress.IsLoopback(endPoint.Address))
            return;
        if (services.GetRequiredService<IOptions<GuardOptions>>().Value.ApiKeys.Count == 0)
        {
            throw new StartRefusedException(
                $"it would listen on {endPoint}, which others can reach, and no API key is configured. "
                + "Set GrainVision__Guard__ApiKeys__0__Name and GrainVision__Guard__ApiKeys__0__Key, or listen on 127.0.0.1.");
        }
    }
}
