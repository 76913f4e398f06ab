using System.Diagnostics;
using System.Globalization;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Rules;
using GrainVision.MeasuredPhotos;
using GrainVision.Measuring;
using GrainVision.Measuring.Intake;
using GrainVision.Synthesis;

namespace GrainVision.Benchmarks;

/// <summary>
/// Peak memory of one job on one photo, in a process of its own: what the kernel counts at most (VmHWM of proc(5)), and in which stage. Making a
/// photo of 64 MP takes more memory than measuring it, so that is done by another process first.
/// </summary>
internal static class PeakMemory
{
    private const int SampleMs = 5;

    public static int Run(string megapixels)
    {
        foreach (var view in (View[])[View.End, View.Face])
        {
            var file = Path.Combine(Path.GetTempPath(), $"grainvision-peak-{Environment.ProcessId}-{view}.jpg");
            try
            {
                if (Self("make", view.ToString(), megapixels, file) is not 0 || Self("peak", view.ToString(), megapixels, file) is not 0)
                    return 1;
            }
            finally
            {
                File.Delete(file);
            }
        }

        return 0;
    }

    public static int Make(View view, string megapixels, string file)
    {
        var request = new SceneRequest { Seed = 11, View = view, Difficulty = Difficulty.Easy, Megapixels = double.Parse(megapixels, CultureInfo.InvariantCulture), Scale = ScaleProp.Card };
        File.WriteAllBytes(file, Synthesiser.Make(request).ToJpeg());
        return 0;
    }

    public static int Measure(View view, string megapixels, string file)
    {
        var bytes = File.ReadAllBytes(file);
        RuleBookSet.Embedded.TryGet("spar", out var book);
        var before = Status("VmRSS:");
        var samples = new List<(double Ms, double Mb)>();
        using var done = new CancellationTokenSource();
        var clock = Stopwatch.StartNew();
        var watch = new Thread(() =>
        {
            while (!done.IsCancellationRequested)
            {
                samples.Add((clock.Elapsed.TotalMilliseconds, Status("VmRSS:")));
                Thread.Sleep(SampleMs);
            }
        });
        watch.Start();
        var from = clock.Elapsed.TotalMilliseconds;
        var outcome = PhotoJob.Run(bytes, new MeasuringRequest { View = view, Species = "sitka-spruce" }, book, CancellationToken.None);
        done.Cancel();
        watch.Join();
        Console.WriteLine(string.Create(
            CultureInfo.InvariantCulture,
            $"{view} {megapixels} MP, {bytes.Length / 1e6:0.0} MB file: peak {Status("VmHWM:"):0} MB of which {before:0} MB before the job; {(outcome.Found is null ? "refused " + outcome.Refusal!.Code : "measured")}"));
        var at = from;
        foreach (var (stage, ms) in outcome.Found?.Measurement.TimingsMs ?? new Dictionary<string, double>())
        {
            // Stages that run twice are told as one: near enough to say where to look.
            var within = samples.Where(s => s.Ms >= at && s.Ms <= at + ms + SampleMs).Select(s => s.Mb).DefaultIfEmpty(0).Max();
            Console.WriteLine(string.Create(CultureInfo.InvariantCulture, $"    {stage,-10} {ms,7:0} ms, at most {within:0} MB"));
            at += ms;
        }

        return 0;
    }

    /// <summary>MB of a line of this process's status.</summary>
    private static double Status(string name)
    {
        var line = File.ReadLines("/proc/self/status").First(l => l.StartsWith(name, StringComparison.Ordinal));
        return double.Parse(line.AsSpan(name.Length, line.Length - name.Length - " kB".Length).Trim(), CultureInfo.InvariantCulture) / 1024;
    }

    private static int Self(params string[] arguments)
    {
        var start = new ProcessStartInfo(Environment.ProcessPath!);
        if (Path.GetFileNameWithoutExtension(Environment.ProcessPath!) == "dotnet")
            start.ArgumentList.Add(typeof(PeakMemory).Assembly.Location);
        foreach (var argument in arguments)
            start.ArgumentList.Add(argument);
        using var process = Process.Start(start)!;
        process.WaitForExit();
        return process.ExitCode;
    }
}
