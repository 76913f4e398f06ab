using System.Diagnostics;
using System.Globalization;
using System.Text.Json;
using GrainVision.Grading.Findings;
using GrainVision.Measuring;
using GrainVision.Measuring.Blemishes;

namespace GrainVision.Trainer;

/// <summary>Makes the pictures, looks at them, grows the trees, calibrates, measures, and writes the model's folder.</summary>
internal static class TrainerCommand
{
    public static int Run(string[] args, TextWriter output, TextWriter errors, Stopwatch clock)
    {
        string Option(string name, string otherwise) => Array.IndexOf(args, "--" + name) is >= 0 and var i && i + 1 < args.Length ? args[i + 1] : otherwise;
        int Number(string name, int otherwise) => int.Parse(Option(name, otherwise.ToString(CultureInfo.InvariantCulture)), CultureInfo.InvariantCulture);
        OpenCvSharp.Cv2.SetNumThreads(1);
        var set = new TrainingSet(
            Option("fixtures", "fixtures"), new SeedBlock(110_000, Number("training", 300), Number("calibration", 100), Number("test", 100)),
            new SeedBlock(110_600, Number("more-training", 400), Number("more-calibration", 60), Number("more-test", 60)), Option("pictures", ""));
        if (args.Contains("--only-pictures"))
        {
            output.WriteLine($"{set.Faces().AsParallel().WithDegreeOfParallelism(2).Count(f => f().PixelsPerMm > 0)} pictures, {clock.Elapsed.TotalSeconds:F0} s");
            return 0;
        }

        var file = Option("table", "");
        FeatureTable table;
        if (file.Length > 0 && File.Exists(file))
        {
            using var stream = File.OpenRead(file);
            table = FeatureTable.Load(stream);
        }
        else
        {
            table = new FeatureTable();
            // In order whatever the number of threads: the table must not depend on it.
            foreach (var look in set.Faces().AsParallel().AsOrdered().WithDegreeOfParallelism(2).Select(f => LookedAt.At(f())))
            {
                if (look is not null)
                    table.Add(look);
            }

            if (file.Length > 0)
            {
                using var stream = File.Create(file);
                table.Save(stream);
            }
        }

        if (Option("join", "") is { Length: > 0 } joined)
        {
            using var stream = File.OpenRead(joined);
            table.AddSynthetic(FeatureTable.Load(stream));
        }

        output.WriteLine($"{table.Faces.Count} surfaces, {table.Rows.Count} candidates, {clock.Elapsed.TotalSeconds:F0} s, table {table.Hash()}");
        var rows = table.Taught(Split.Training).Select(r => (r, Weight(table.Faces[r.Face], r))).ToList();
        foreach (var g in rows.GroupBy(r => (r.r.Class, table.Faces[r.r.Face].Source)).OrderBy(g => g.Key))
            output.WriteLine($"  {BlemishClasses.Word(g.Key.Class),-20} {g.Key.Source,-14} {g.Count()}");
        var model = TreeTrainer.Grow(rows);
        output.WriteLine($"model {model.Length} bytes, {clock.Elapsed.TotalSeconds:F0} s");
        var raw = BlemishClassifier.Load(model, Json(BlemishCalibration.None));
        var calibrating = table.Taught(Split.Calibration).ToList();
        var scores = raw.Classify([.. calibrating.Select(r => r.Features)]);
        var factor = TreeTrainer.Factor([.. calibrating.Select((r, i) => (scores[i], r.Class))]);
        var calibration = BlemishCalibration.None with { Factor = factor };
        calibration = calibration with { ReportFrom = OperatingPoint.Choose(new Evaluation(table, BlemishClassifier.Load(model, Json(calibration)))) };
        Write(Directory.CreateDirectory(Option("out", Path.Combine("models", "blemishes", "3"))).FullName, model, calibration, table, set, output);
        output.WriteLine($"{clock.Elapsed.TotalSeconds:F0} s");
        return 0;
    }

    /// <summary>3: what a real blemish weighs; there are few of them, and synthetic wood is no proof.</summary>
    private static float Weight(TableFace face, TableRow row) => face.Weight * (face.Source == Source.RealTile && row.Class != BlemishClasses.None ? 3 : 1);

    private static void Write(string folder, byte[] model, BlemishCalibration calibration, FeatureTable table, TrainingSet set, TextWriter output)
    {
        var settings = Json(calibration);
        var evaluation = new Evaluation(table, BlemishClassifier.Load(model, settings));
        static string Seeds(SeedBlock b) => $"{b.FirstSeed} to {b.FirstSeed + b.Training - 1} (calibration the next {b.Calibration}, test the {b.Test} after those)";
        var trainedOn = $"synthetic seeds {Seeds(set.Before)} and {Seeds(set.After)}, 6 real tiles and half of the clear sections of fixtures/, each mirrored and scaled.";
        var card = new ModelCard(evaluation, calibration, table.Hash(), model.Length, trainedOn);
        File.WriteAllBytes(Path.Combine(folder, "model.zip"), model);
        File.WriteAllBytes(Path.Combine(folder, "calibration.json"), settings);
        File.WriteAllText(Path.Combine(folder, "model.sha256"), $"{EmbeddedModel.HashOf(model)}  model.zip\n{EmbeddedModel.HashOf(settings)}  calibration.json\n");
        File.WriteAllText(Path.Combine(folder, "card.md"), card.Markdown());
        File.WriteAllText(Path.Combine(folder, "report.html"), card.Html());
        output.WriteLine(card.Markdown());
    }

    private static readonly JsonSerializerOptions Indented = new(ContractJson.Options) { WriteIndented = true };

    internal static byte[] Json(BlemishCalibration calibration) => JsonSerializer.SerializeToUtf8Bytes(calibration, Indented);
}
