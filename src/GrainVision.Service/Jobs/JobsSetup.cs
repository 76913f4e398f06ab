using System.Data.Common;
using GrainVision.Records.Deliveries;
using GrainVision.Service.Deliveries;
using DeliveryOptions = GrainVision.Service.Deliveries.DeliveryOptions;
using GrainVision.Service.Guard;
using GrainVision.Service.Http;
using GrainVision.Service.Measurements;
using GrainVision.Service.Pieces;
using JasperFx.CodeGeneration;
using JasperFx.Resources;
using Microsoft.Data.Sqlite;
using Wolverine;
using Wolverine.ErrorHandling;
using Wolverine.RDBMS;
using Wolverine.Runtime;
using Wolverine.Sqlite;

namespace GrainVision.Service.Jobs;

/// <summary>Durable jobs: WolverineFx with its messages in the records' own file (DEVELOPERS.md, "Jobs").</summary>
internal static class JobsSetup
{
    /// <summary>15 minutes: a step takes seconds, but may wait for its turn behind callers and behind a photo at its deadline.</summary>
    private static readonly TimeSpan LongestStep = TimeSpan.FromMinutes(15);

    public static void AddJobs(this WebApplicationBuilder builder)
    {
        var records = builder.Configuration.GetSection(RecordsOptions.Section).Get<RecordsOptions>() ?? new RecordsOptions();
        var work = builder.Configuration.GetSection(WorkOptions.Section).Get<WorkOptions>() ?? new WorkOptions();
        var connection = new SqliteConnectionStringBuilder { DataSource = records.In(ApiSetup.RecordsFile) }.ToString();
        builder.Host.UseWolverine(engine =>
        {
            engine.PersistMessagesWithSqlite(connection);
            engine.Durability.Mode = DurabilityMode.Solo; // one process: what a dead one left is ours
            engine.Durability.ScheduledJobFirstExecution = TimeSpan.FromMilliseconds(200);
            engine.Durability.ScheduledJobPollingTime = TimeSpan.FromSeconds(1);
            engine.CodeGeneration.TypeLoadMode = TypeLoadMode.Static;
            engine.Discovery.DisableConventionalDiscovery();
            engine.AddMessageHandler(new ScanStepHandler());
            engine.Policies.UseDurableLocalQueues();
            engine.LocalQueueFor<ScanStep>().MaximumParallelMessages(work.EffectiveWorkers);
            engine.DefaultExecutionTimeout = LongestStep;
            // A bad photo never gets this far: what fails here is the disk or a bug. The work waits for better times, it is never dropped.
            engine.Policies.OnAnyException()
                .RetryWithCooldown(TimeSpan.FromMilliseconds(100), TimeSpan.FromSeconds(1), TimeSpan.FromSeconds(5))
                .Then.ScheduleRetryIndefinitely(TimeSpan.FromSeconds(30));
        });
        builder.Services.AddResourceSetupOnStartup();
        builder.Services.AddSingleton<DeliveryStore>();
        builder.Services.AddSingleton<DeliveryPhotoStore>();
        builder.Services.AddSingleton<PhotoWorkItems>();
        builder.Services.AddSingleton<PhotoJobRunner>();
        builder.Services.AddOptions<DeliveryOptions>().BindConfiguration(DeliveryOptions.Section).ValidateDataAnnotations().ValidateOnStart();
        builder.Services.AddSingleton<DeliveryService>();
        builder.Services.AddSingleton<PieceService>();
        builder.Services.AddOptions<CuttingOptions>().BindConfiguration(CuttingOptions.Section).ValidateDataAnnotations().ValidateOnStart();
        builder.Services.AddSingleton<CutPlanService>();
        builder.Services.AddSingleton<Enqueue>(s => (transaction, deliveryId, steps) => Write(s.GetRequiredService<IWolverineRuntime>(), transaction, deliveryId, steps));
    }

    /// <summary>Before the engine starts: whatever was in hand when the last process ended goes back into the queue.</summary>
    public static void TakeUpLeftWork(this WebApplication app)
    {
        try
        {
            app.Services.GetRequiredService<PhotoWorkItems>().TakeUpLeftWork();
        }
        catch (Exception e) when (e is SqliteException or IOException or UnauthorizedAccessException)
        {
            throw new StartRefusedException("the records cannot be opened for writing: check the disk and the rights on the data folder.");
        }
    }

    /// <summary>Writes messages in a transaction of the records' file.</summary>
    private static async Task<Func<Task>> Write(IWolverineRuntime runtime, DbTransaction transaction, string deliveryId, int steps)
    {
        var outbox = new MessageContext(runtime);
        await outbox.EnlistInOutboxAsync(new DatabaseEnvelopeTransaction((IMessageDatabase)outbox.Storage, transaction));
        for (var i = 0; i < steps; i++)
            await outbox.PublishAsync(new ScanStep(deliveryId));
        return outbox.FlushOutgoingMessagesAsync;
    }
}
