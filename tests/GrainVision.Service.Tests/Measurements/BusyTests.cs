using System.Net;
using GrainVision.Grading.Refusals;
using GrainVision.Service.Measurements;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Options;

namespace GrainVision.Service.Tests.Measurements;

/// <summary>Bounded work: never more at once than there are workers, never more waiting than there are places.</summary>
public class BusyTests
{
    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(20);

    [Fact]
    public async Task Workers_ManyAtOnce_NeverRunMoreThanConfigured()
    {
        var workers = new MeasuringWorkers(Options.Create(new WorkOptions { Workers = 3, Queue = 20 }), TimeProvider.System);
        var (running, most, started) = (0, 0, 0);
        // The first three wait for one another: the thread pool of a small machine would else run two of them one after the other.
        using var together = new CountdownEvent(3);
        var jobs = Enumerable.Range(0, 23).Select(_ => workers.Run<string>(
            stop =>
            {
                var now = Interlocked.Increment(ref running);
                InterlockedMax(ref most, now);
                if (Interlocked.Increment(ref started) <= together.InitialCount)
                {
                    together.Signal();
                    together.Wait(Patience, stop);
                }

                Thread.Sleep(15);
                Interlocked.Decrement(ref running);
                return "done";
            },
            CancellationToken.None)).ToList();
        var outcomes = await Task.WhenAll(jobs);
        Assert.All(outcomes, o => Assert.Equal("done", o.Found));
        Assert.Equal(3, most);
    }

    [Fact]
    public async Task Workers_OneMoreThanPlaces_IsTurnedAwayAtOnce()
    {
        using var gate = new ManualResetEventSlim();
        var workers = new MeasuringWorkers(Options.Create(new WorkOptions { Workers = 1, Queue = 2 }), TimeProvider.System);
        var held = Enumerable.Range(0, 3).Select(_ => workers.Run<string>(_ => Wait(gate), CancellationToken.None)).ToList();
        Assert.True(workers.IsFull);
        Assert.Equal("busy", (await workers.Run<string>(_ => "late", CancellationToken.None)).Refusal!.Code);
        gate.Set();
        Assert.All(await Task.WhenAll(held), o => Assert.NotNull(o.Found));
        Assert.False(workers.IsFull);
    }

    [Fact]
    public async Task Workers_StuckBeyondTheDeadline_KeepTheirPlaceUntilTheyEnd()
    {
        using var gate = new ManualResetEventSlim();
        var workers = new MeasuringWorkers(Options.Create(new WorkOptions { Workers = 1, Queue = 0, DeadlineSeconds = 1 }), TimeProvider.System);
        // This work does not look at its token, like a call into a native library.
        Assert.Equal("deadline-exceeded", (await workers.Run<string>(_ => Wait(gate), CancellationToken.None)).Refusal!.Code);
        Assert.Equal((1, false), (workers.Overdue, workers.IsAlive));
        Assert.Equal("busy", (await workers.Run<string>(_ => "next", CancellationToken.None)).Refusal!.Code);
        gate.Set();
        await Until(() => workers.Overdue == 0 && !workers.IsFull);
        Assert.Equal("next", (await workers.Run<string>(_ => "next", CancellationToken.None)).Found);
    }

    [Fact]
    public async Task Workers_CallerGone_StopsTheWork()
    {
        var workers = new MeasuringWorkers(Options.Create(new WorkOptions { Workers = 1, Queue = 0 }), TimeProvider.System);
        using var gone = new CancellationTokenSource();
        using var started = new ManualResetEventSlim();
        var stopped = false;
        var job = workers.Run<string>(
            stop =>
            {
                started.Set();
                stopped = stop.WaitHandle.WaitOne(Patience);
                stop.ThrowIfCancellationRequested();
                return "done";
            },
            gone.Token);
        Assert.True(started.Wait(Patience));
        await gone.CancelAsync();
        await Assert.ThrowsAnyAsync<OperationCanceledException>(() => job);
        await Until(() => !workers.IsFull);
        Assert.True(stopped);
    }

    [Fact]
    public async Task Workers_WorkThatFails_GivesItsPlaceBack()
    {
        var workers = new MeasuringWorkers(Options.Create(new WorkOptions { Workers = 1, Queue = 0 }), TimeProvider.System);
        await Assert.ThrowsAsync<InvalidOperationException>(() => workers.Run<string>(_ => throw new InvalidOperationException("a bug"), CancellationToken.None));
        Assert.Equal("next", (await workers.Run<string>(_ => "next", CancellationToken.None)).Found);
    }

    [Fact]
    public async Task Measure_WhenAllPlacesAreTaken_IsTooManyRequestsWithRetryAfter()
    {
        await using var service = new RunningService(new() { ["GrainVision:Work:Workers"] = "2", ["GrainVision:Work:Queue"] = "1", ["GrainVision:Work:RetryAfterSeconds"] = "7" });
        using var client = service.CreateClient();
        using var gate = new ManualResetEventSlim();
        var workers = service.Services.GetRequiredService<MeasuringWorkers>();
        var held = Enumerable.Range(0, 3).Select(_ => workers.Run<string>(_ => Wait(gate), CancellationToken.None)).ToList();

        using (var answer = await client.Measure(Calls.Fixture(Calls.RingsPhoto), Calls.RingsRequest))
        {
            await answer.IsProblem(429, "busy", "service");
            Assert.Equal("7", Assert.Single(answer.Headers.GetValues("Retry-After")));
        }

        gate.Set();
        await Task.WhenAll(held);
        using var later = await client.Measure(Calls.Fixture(Calls.RingsPhoto), Calls.RingsRequest);
        Assert.Equal(HttpStatusCode.OK, later.StatusCode);
    }

    [Fact]
    public async Task Measure_ManyMoreThanPlaces_AnswersEveryOneAndBreaksNone()
    {
        await using var service = new RunningService(new() { ["GrainVision:Work:Workers"] = "1", ["GrainVision:Work:Queue"] = "1" });
        using var client = service.CreateClient();
        var photo = Calls.Fixture(Calls.RingsPhoto);
        var answers = await Task.WhenAll(Enumerable.Range(0, 8).Select(_ => client.Measure(photo, Calls.RingsRequest)));
        Assert.All(answers, a => Assert.Contains(a.StatusCode, new[] { HttpStatusCode.OK, HttpStatusCode.TooManyRequests }));
        Assert.Contains(answers, a => a.StatusCode == HttpStatusCode.OK);
        foreach (var answer in answers)
            answer.Dispose();
    }

    [Fact]
    public async Task Measure_BeyondTheDeadline_IsUnavailable()
    {
        await using var service = new RunningService(new() { ["GrainVision:Work:Workers"] = "1", ["GrainVision:Work:DeadlineSeconds"] = "1" });
        using var client = service.CreateClient();
        using var gate = new ManualResetEventSlim();
        var held = service.Services.GetRequiredService<MeasuringWorkers>().Run<string>(_ => Wait(gate), CancellationToken.None);
        using var answer = await client.Measure(Calls.Fixture(Calls.RingsPhoto), Calls.RingsRequest);
        await answer.IsProblem(503, "deadline-exceeded", "service");
        gate.Set();
        await held;
    }

    private static Outcome<string> Wait(ManualResetEventSlim gate) => gate.Wait(Patience) ? "done" : throw new TimeoutException("The test forgot the gate.");

    private static async Task Until(Func<bool> condition)
    {
        for (var i = 0; i < 400 && !condition(); i++)
            await Task.Delay(10);
        Assert.True(condition());
    }

    private static void InterlockedMax(ref int most, int value)
    {
        int seen;
        while (value > (seen = Volatile.Read(ref most)))
            Interlocked.CompareExchange(ref most, value, seen);
    }
}
