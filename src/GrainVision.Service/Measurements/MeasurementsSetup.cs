using GrainVision.Records.Measurements;

namespace GrainVision.Service.Measurements;

/// <summary>Wires up measuring single photos, the records of them, and the workers that everything is measured on.</summary>
internal static class MeasurementsSetup
{
    public static void AddMeasurements(this WebApplicationBuilder builder)
    {
        var services = builder.Services;
        services.AddOptions<WorkOptions>().BindConfiguration(WorkOptions.Section).ValidateDataAnnotations().ValidateOnStart();
        services.AddOptions<ScaleOptions>().BindConfiguration(ScaleOptions.Section).ValidateDataAnnotations().ValidateOnStart();
        services.AddSingleton<MeasurementStore>();
        services.AddSingleton<RuleUnitDefaults>();
        services.AddSingleton<MeasuringWorkers>();
        services.AddSingleton<ConcurrentUploadLimiter>();
        services.AddSingleton<MeasurementService>();
        services.AddSingleton<Remeasuring>();
        services.AddSingleton<ReplayService>();
    }
}
