using GrainVision.Records.Log;

namespace GrainVision.Service.Log;

/// <summary>Wires up reading the log.</summary>
internal static class LogSetup
{
    public static void AddLog(this WebApplicationBuilder builder)
    {
        builder.Services.AddSingleton<LogReader>();
        builder.Services.AddSingleton<LogService>();
        builder.Services.AddSingleton<AuditPack>();
    }
}
