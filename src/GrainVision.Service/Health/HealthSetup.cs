namespace GrainVision.Service.Health;

/// <summary>Wires up the check at the start.</summary>
internal static class HealthSetup
{
    public static void AddHealth(this WebApplicationBuilder builder)
    {
        builder.Services.AddSingleton<StartCheck>();
        builder.Services.AddHostedService(s => s.GetRequiredService<StartCheck>());
    }
}
