using System.Text.Json;

namespace GrainVision.Accuracy;

/// <summary>Simulated inspections of many pieces, one line a piece kept as they end.</summary>
public static class InspectorRun
{
    internal static int Run(AccuracyOptions options, TextWriter output, TextWriter errors)
    {
        List<(int Seed, bool Good)> todo = [.. options.Seeds("good").Select(s => (s, true)), .. options.Seeds("failing").Select(s => (s, false))];
        var keep = options.Text("keep");
        Dictionary<(int Seed, bool Good), InspectedPiece> done = keep is null ? [] : new(Read(keep));
        var kept = done.Count;
        Parallel.ForEach(todo.Where(t => !done.ContainsKey(t)).ToList(), new ParallelOptions { MaxDegreeOfParallelism = (int)options.Number("workers", 2) }, item =>
        {
            var piece = Inspection.Run(item.Seed, item.Good);
            lock (done)
            {
                done[item] = piece;
                if (keep is not null)
                    File.AppendAllText(keep, JsonSerializer.Serialize(piece) + "\n");
                if ((done.Count - kept) % 10 == 0)
                    errors.WriteLine($"{done.Count} pieces: {InspectorReport.Line([.. done.Values])}");
            }
        });
        IReadOnlyList<InspectedPiece> all = [.. todo.Where(done.ContainsKey).Select(t => done[t])];
        output.WriteLine(InspectorReport.Table(all));
        if (options.Has("list"))
            output.WriteLine(InspectorReport.Stories(all));
        output.WriteLine(InspectorReport.Line(all));
        return options.Text("write-results") is { } results ? ResultsFile.Write(results, "inspector", InspectorReport.Table(all), errors) : 0;
    }

    /// <summary>What a broken run left; a line that was cut off is done again.</summary>
    public static IReadOnlyDictionary<(int Seed, bool Good), InspectedPiece> Read(string file)
    {
        var done = new Dictionary<(int, bool), InspectedPiece>();
        foreach (var line in File.Exists(file) ? File.ReadLines(file) : [])
        {
            try
            {
                if (JsonSerializer.Deserialize<InspectedPiece>(line) is { } piece)
                    done[(piece.Seed, piece.Kind == "Good")] = piece;
            }
            catch (JsonException)
            {
                continue;
            }
        }

        return done;
    }
}
