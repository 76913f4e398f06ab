using System.IO.Compression;
using GrainVision.Measuring.Surfaces;
using Microsoft.ML;
using Microsoft.ML.Trainers.LightGbm;

namespace GrainVision.DecisionFit;

/// <summary>Grows the trees and fits their calibration. One thread and fixed seeds: the same table gives the same bytes.</summary>
internal static class TreeTrainer
{
    /// <summary>regions.zip.</summary>
    public static byte[] Grow(IReadOnlyList<(RegionCase Row, float Weight)> rows)
    {
        var ml = new MLContext(seed: 1);
        var data = ml.Data.LoadFromEnumerable(rows.Select(r => new RegionRow { Features = r.Row.Features, Label = (uint)r.Row.Class + 1, Weight = r.Weight }), RegionRow.Schema());
        var trainer = ml.MulticlassClassification.Trainers.LightGbm(new LightGbmMulticlassTrainer.Options
        {
            ExampleWeightColumnName = nameof(RegionRow.Weight),
            NumberOfIterations = 250,
            LearningRate = 0.05,
            NumberOfLeaves = 24,
            MinimumExampleCountPerLeaf = 12,
            L2CategoricalRegularization = 10,
            UseSoftmax = true,
            NumberOfThreads = 1,
            Deterministic = true,
            Seed = 1,
            Booster = new GradientBooster.Options { FeatureFraction = 0.5, SubsampleFraction = 0.7, SubsampleFrequency = 1, L2Regularization = 2 },
        });
        using var stream = new MemoryStream();
        ml.Model.Save(trainer.Fit(data), data.Schema, stream);
        return WithoutTimes(stream.ToArray());
    }

    /// <summary>The same archive with one fixed time for all entries: the clock must not change the hash.</summary>
    private static byte[] WithoutTimes(byte[] zip)
    {
        using var from = new ZipArchive(new MemoryStream(zip), ZipArchiveMode.Read);
        using var stream = new MemoryStream();
        using (var to = new ZipArchive(stream, ZipArchiveMode.Create, leaveOpen: true))
        {
            foreach (var entry in from.Entries.OrderBy(e => e.FullName, StringComparer.Ordinal))
            {
                var copy = to.CreateEntry(entry.FullName, CompressionLevel.Optimal);
                copy.LastWriteTime = new DateTimeOffset(2000, 1, 1, 0, 0, 0, TimeSpan.Zero);
                using var source = entry.Open();
                using var target = copy.Open();
                source.CopyTo(target);
            }
        }

        return stream.ToArray();
    }

    /// <summary>
    /// The one factor that makes the scores of rows not trained on likeliest (temperature scaling): golden-section search, since the
    /// likelihood has one maximum in it.
    /// </summary>
    public static double Factor(IReadOnlyList<(double[] Score, int Class)> rows)
    {
        double Loss(double factor)
        {
            var decision = SurfaceDecision.None("") with { Factor = factor };
            return -rows.Sum(r => Math.Log(Math.Max(1e-12, decision.Calibrate(r.Score.Select(s => (float)s).ToArray())[r.Class])));
        }

        // 0.2 to 3: from scores that are far too sure to scores that are far too shy.
        var (low, high) = (0.2, 3.0);
        var golden = (Math.Sqrt(5) - 1) / 2;
        for (var step = 0; step < 22; step++)
        {
            var (a, b) = (high - (golden * (high - low)), low + (golden * (high - low)));
            if (Loss(a) < Loss(b))
                high = b;
            else
                low = a;
        }

        return Math.Round((low + high) / 2, 4);
    }
}
