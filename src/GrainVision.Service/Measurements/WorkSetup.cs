using GrainVision.Service.Uploads;

namespace GrainVision.Service.Measurements;

internal static class WorkSetup
{
    public static void AddWork(this WebApplicationBuilder builder)
    {
        builder.Services.AddOptions<WorkOptions>().BindConfiguration(WorkOptions.Section).ValidateDataAnnotations().ValidateOnStart();
        builder.Services.AddOptions<ScaleOptions>().BindConfiguration(ScaleOptions.Section).ValidateDataAnnotations().ValidateOnStart();
        builder.Services.AddSingleton<RuleUnitDefaults>();
        builder.Services.AddSingleton<MeasuringWorkers>();
        builder.Services.AddSingleton<UploadLimiter>();
    }
}
