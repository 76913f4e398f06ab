using System.Diagnostics;
using GrainVision.Benchmarks;
using GrainVision.Grading.Findings;
using GrainVision.MeasuredPhotos;
using GrainVision.Measuring;
using GrainVision.Measuring.Intake;
using GrainVision.Synthesis;
using OpenCvSharp;

// memory [MEGAPIXELS]: peak memory of a job instead (64); the other two words are its own child processes.
switch (args)
{
    case ["memory"]:
        return PeakMemory.Run("64");
    case ["memory", var megapixels]:
        return PeakMemory.Run(megapixels);
    case ["make", var view, var megapixels, var file]:
        return PeakMemory.Make(Enum.Parse<View>(view), megapixels, file);
    case ["peak", var view, var megapixels, var file]:
        return PeakMemory.Measure(Enum.Parse<View>(view), megapixels, file);
}

// "log --entries 1000000": the log instead of the measuring.
if (args is ["log", .. var rest])
    return LogBenchmark.Run(rest is ["--entries", var count] ? int.Parse(count) : 1_000_000);

// Time of the whole job on a 12 MP photo as a phone writes it, as a ratio to a plain colour decode of the same file by OpenCV's bundled
// libjpeg-turbo, both on one thread, side by side: the ratio is comparable between machines, the milliseconds are not.
const int repeats = 9;
Cv2.SetNumThreads(1);
foreach (var view in (View[])[View.End, View.Face])
{
    var bytes = PhoneFile.From(Synthesiser.Make(new SceneRequest { Seed = 11, View = view, Difficulty = Difficulty.Easy, Megapixels = 12, Scale = ScaleProp.Card }).ToJpeg());
    var request = new MeasuringRequest { View = view, Species = "sitka-spruce" };
    IReadOnlyDictionary<string, double> stages = new Dictionary<string, double>();
    void Job()
    {
        var outcome = PhotoJob.Run(bytes, request, null, CancellationToken.None);
        stages = outcome.Found?.Measurement.TimingsMs ?? throw new InvalidOperationException(outcome.Refusal!.Message);
    }

    Decode(bytes);
    Job();
    var (decodes, jobs) = (new double[repeats], new double[repeats]);
    for (var i = 0; i < repeats; i++)
        (decodes[i], jobs[i]) = (Milliseconds(() => Decode(bytes)), Milliseconds(Job));
    var (decode, job) = (Median(decodes), Median(jobs));
    Console.WriteLine(
        $"{view}, {bytes.Length / 1e6:0.0} MB: {job:0} ms / decode {decode:0} ms = {job / decode:0.0}   ({string.Join(", ", stages.Select(s => $"{s.Key} {s.Value:0}"))})");
}

return 0;

static void Decode(byte[] bytes)
{
#pragma warning disable RS0030 // our own synthetic file, and the very decoder that the target names
    using var picture = Cv2.ImDecode(bytes, ImreadModes.Color);
#pragma warning restore RS0030
}

static double Milliseconds(Action work)
{
    var start = Stopwatch.GetTimestamp();
    work();
    return Stopwatch.GetElapsedTime(start).TotalMilliseconds;
}

static double Median(double[] times) => times.Order().ElementAt(times.Length / 2);
