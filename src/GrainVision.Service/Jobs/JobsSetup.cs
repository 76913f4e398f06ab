using System.Data.Common;
using GrainVision.Records.Deliveries;
using GrainVision.Service.Guard;
using GrainVision.Service.Measurements;
using GrainVision.Service.Storage;
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

    /// <summary>The one queue of photos, whatever is to be done with them.</summary>
    private const string PhotoQueue = "photos";

    public static void AddJobs(this WebApplicationBuilder builder)
    {
        var records = builder.Configuration.GetSection(RecordsOptions.Section).Get<RecordsOptions>() ?? new RecordsOptions();
        var work = builder.Configuration.GetSection(WorkOptions.Section).Get<WorkOptions>() ?? new WorkOptions();
        var connection = new SqliteConnectionStringBuilder { DataSource = records.DatabaseFile }.ToString();
        builder.Host.UseWolverine(engine =>
        {
            engine.PersistMessagesWithSqlite(connection);
            engine.Durability.Mode = DurabilityMode.Solo; // one process: what a dead one left is ours
            engine.Durability.ScheduledJobFirstExecution = TimeSpan.FromMilliseconds(200);
            engine.Durability.ScheduledJobPollingTime = TimeSpan.FromSeconds(1);
            engine.CodeGeneration.TypeLoadMode = TypeLoadMode.Static;
            engine.Discovery.DisableConventionalDiscovery();
            engine.AddMessageHandler(new SortPhotoHandler());
            engine.AddMessageHandler(new MeasurePhotoHandler());
            engine.AddMessageHandler(new ScanStepHandler());
            engine.Policies.UseDurableLocalQueues();
            engine.LocalQueue(PhotoQueue).MaximumParallelMessages(work.EffectiveWorkers);
            engine.PublishMessage<SortPhoto>().ToLocalQueue(PhotoQueue);
            engine.PublishMessage<MeasurePhoto>().ToLocalQueue(PhotoQueue);
            engine.LocalQueueFor<ScanStep>().MaximumParallelMessages(1);
            engine.DefaultExecutionTimeout = LongestStep;
            // A step that failed goes to the end of the queue, its attempts on record with its message; PhotoJobRunner throws this no more at the last.
            engine.Policies.OnException<StepFailedException>().Requeue(PhotoJobRunner.MostAttempts);
            // A bad photo never gets this far: what fails here is the disk or a bug. The work waits for better times, it is never dropped.
            engine.Policies.OnAnyException()
                .RetryWithCooldown(TimeSpan.FromMilliseconds(100), TimeSpan.FromSeconds(1), TimeSpan.FromSeconds(5))
                .Then.ScheduleRetryIndefinitely(TimeSpan.FromSeconds(30));
        });
        builder.Services.AddResourceSetupOnStartup();
        builder.Services.AddSingleton<PhotoProgress>();
        builder.Services.AddSingleton<PhotosAtWork>();
        builder.Services.AddSingleton<PhotoSorting>();
        builder.Services.AddSingleton<PhotoMeasuring>();
        builder.Services.AddSingleton<PhotoJobRunner>();
        builder.Services.AddSingleton<Enqueue>(s => (transaction, steps) => Write(s.GetRequiredService<IWolverineRuntime>(), transaction, steps));
    }

    /// <summary>Before the engine starts: whatever was in hand when the last process ended goes back into the queue.</summary>
    public static void TakeUpLeftWork(this WebApplication app)
    {
        try
        {
            app.Services.GetRequiredService<PhotoProgress>().TakeUpLeftWork();
        }
        catch (Exception e) when (e is SqliteException or IOException or UnauthorizedAccessException)
        {
            throw new StartRefusedException("the records cannot be opened for writing: check the disk and the rights on the data folder.");
        }
    }

    /// <summary>Writes messages in a transaction of the records' file.</summary>
    private static async Task<Func<Task>> Write(IWolverineRuntime runtime, DbTransaction transaction, IReadOnlyList<PhotoStep> steps)
    {
        var outbox = new MessageContext(runtime);
        await outbox.EnlistInOutboxAsync(new DatabaseEnvelopeTransaction((IMessageDatabase)outbox.Storage, transaction));
        foreach (var step in steps)
        {
            await (step.Kind == PhotoStepKind.Sort
                ? outbox.PublishAsync(new SortPhoto(step.DeliveryId, step.Sha256))
                : outbox.PublishAsync(new MeasurePhoto(step.DeliveryId, step.Sha256)));
        }

        return outbox.FlushOutgoingMessagesAsync;
    }
}
