using GrainVision.MeasuredPhotos;
using GrainVision.Measuring;
using GrainVision.Presentation;
using GrainVision.Service.Measurements;

namespace GrainVision.Service.Health;

/// <summary>Tests the native libraries and warms the measuring up, once, beside the running service. Native libraries do not come back by themselves.</summary>
internal sealed class StartCheck(ILogger<StartCheck> log) : BackgroundService
{
    /// <summary>Why the service is not ready, or null.</summary>
    public string? Problem { get; private set; } = "The service is still warming up; ask again in a second.";

    protected override Task ExecuteAsync(CancellationToken stoppingToken) => Task.Run(
        () =>
        {
            var problem = SelfTest.Run() ?? Drawing.SelfTest();
            try
            {
                if (problem is null)
                    PhotoJob.WarmUp(stoppingToken);
            }
            catch (OperationCanceledException)
            {
                return; // the service stops before it was warm
            }
            catch (Exception e)
            {
                // An exception that escapes here would stop the host; a service that is up and says what is wrong is more use.
                log.LogError(e, "Warming up failed");
                problem = "Measuring fails on this machine; see the log.";
            }

            if (problem is not null)
                log.LogError("Not ready: {Problem}", problem);
            Problem = problem;
        },
        CancellationToken.None);
}
