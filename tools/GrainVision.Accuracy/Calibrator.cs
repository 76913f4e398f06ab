using System.Globalization;
using System.Text;
using System.Text.Json;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Measuring;
using GrainVision.Measuring.Uncertainty;
using GrainVision.Synthesis;

namespace GrainVision.Accuracy;

/// <summary>Fits the factors on intervals (<see cref="IntervalCalibration"/>) to drawn photos, and writes them with their card.</summary>
internal static class Calibrator
{
    /// <summary>0.955: half a percent over the level that is promised, since a factor fitted to a few hundred values holds a little less on others.</summary>
    private const double Level = 0.955;

    /// <summary>40: with fewer values the factor is that of their worst; such a group takes at least the factor of its quantity over all groups.</summary>
    private const int LeastValues = 40;

    /// <summary>
    /// 0.85: no interval is narrowed below this share of what its error model says, however well it did: drawn wood is kinder than wood.
    /// </summary>
    private const double Narrowest = 0.85;

    private static readonly JsonSerializerOptions Json = new(ContractJson.Options) { WriteIndented = true };

    private sealed record Value(CalibratedQuantity Quantity, string Group, double Score);

    public static int Run(AccuracyOptions options, string folder, TextWriter output, TextWriter errors)
    {
        var trials = Requests(options).ToList();
        var values = new List<Value>();
        var done = 0;
        Parallel.ForEach(trials, new ParallelOptions { MaxDegreeOfParallelism = (int)options.Number("workers", 2) }, t =>
        {
            var trial = Trial.Run(t.Request, t.Told, null, t.RingAngle, calibration: IntervalCalibration.None);
            var found = Values(trial, t.RingAngle).ToList();
            lock (values)
            {
                values.AddRange(found);
                if (++done % 60 == 0)
                    errors.WriteLine($"{done} of {trials.Count} photos");
            }
        });

        var cells = Fit(values);
        var json = Encoding.UTF8.GetBytes(JsonSerializer.Serialize(cells, Json) + "\n");
        Directory.CreateDirectory(folder);
        File.WriteAllBytes(Path.Combine(folder, "calibration.json"), json);
        File.WriteAllText(Path.Combine(folder, "calibration.sha256"), $"{EmbeddedModel.HashOf(json)}  calibration.json\n");
        var card = Card(cells, options.Text("seeds")!, trials.Count);
        File.WriteAllText(Path.Combine(folder, "card.md"), card);
        output.WriteLine(card);
        return 0;
    }

    /// <summary>
    /// Each seed at each difficulty as an end and as a face. In turn nothing is told, nothing but the ring angle of a face, and the outline with its size: as photos
    /// come one by one, as those of a delivery do, and with corners clicked.
    /// </summary>
    private static IEnumerable<(SceneRequest Request, Told Told, bool RingAngle)> Requests(AccuracyOptions options) =>
        from seed in options.Seeds("seeds")
        from difficulty in Enum.GetValues<Difficulty>()
        from view in new[] { View.End, View.Face }
        let turn = (seed + (int)difficulty) % 3
        select (
            new SceneRequest { Seed = seed, View = view, Difficulty = difficulty, Megapixels = options.Number("megapixels", 2) },
            turn == 2 ? Told.OutlineAndSize : Told.Nothing,
            turn >= 1);

    private static IEnumerable<Value> Values(Trial trial, bool ringAngleTold)
    {
        if (trial.Answer is not { } answer)
            yield break;
        var conditions = new PhotoConditions(answer, ringAngleTold);
        foreach (var (quantity, row) in Rows(Score.Compute([trial])))
        {
            if (conditions.GroupOf(quantity) is not { } group)
                continue;
            foreach (var (truth, measured) in row.Values)
                yield return new Value(quantity, group, quantity == CalibratedQuantity.PithDistance ? OfCurvature(truth, measured) : Conformal.Score(truth, measured));
        }
    }

    private static IEnumerable<(CalibratedQuantity Quantity, Row Row)> Rows(Score score) =>
    [
        (CalibratedQuantity.Scale, score.Scale), (CalibratedQuantity.Sides, score.Size), (CalibratedQuantity.RingsPerInch, score.PerInch),
        (CalibratedQuantity.WorstInch, score.WorstInch), (CalibratedQuantity.LatewoodShare, score.Latewood), (CalibratedQuantity.RingAngle, score.Angle),
        (CalibratedQuantity.PithDistance, score.Pith), (CalibratedQuantity.Slope, score.SlopeEdge), (CalibratedQuantity.Slope, score.SlopeFlat),
        (CalibratedQuantity.WindowSlope, score.SlopeWorst), (CalibratedQuantity.KnotSize, score.Knot),
    ];

    private static double OfCurvature(double truth, Measured distance) => Conformal.Score(1 / truth, new Measured(1 / distance.Value, 1 / distance.High, 1 / distance.Low));

    private static IReadOnlyList<CalibrationCell> Fit(IReadOnlyList<Value> values) =>
    [
        .. from value in values
           group value by (value.Quantity, value.Group) into g
           orderby g.Key.Quantity, g.Key.Group
           let own = FactorOf(g)
           let factor = g.Count() >= LeastValues ? own : Math.Max(own, FactorOf(values.Where(v => v.Quantity == g.Key.Quantity)))
           select new CalibrationCell(
               g.Key.Quantity, g.Key.Group, Math.Round(Math.Max(Narrowest, factor), 3), g.Count(), Math.Round(g.Count(v => v.Score <= 1) / (double)g.Count(), 3)),
    ];

    private static double FactorOf(IEnumerable<Value> values) => Conformal.Factor([.. values.Select(v => v.Score)], Level);

    private static string Card(IReadOnlyList<CalibrationCell> cells, string seeds, int photos)
    {
        var text = new StringBuilder();
        text.Append(CultureInfo.InvariantCulture, $"# Calibration of intervals\n\nFactors on both halves of each 95 % interval, by split conformal prediction apart for each group of conditions. Fitted to {photos} drawn photos of seeds\n{seeds}, which are neither locked nor used to tune the measuring. A group of fewer than {LeastValues} values takes the factor of its worst value, or of its quantity over all groups where that is greater; none is under {Narrowest}.\nWritten again by `dotnet run -c Release --project tools/GrainVision.Accuracy -- --calibrate models/intervals/1 --seeds {seeds}`: the same bytes.\n\nIt promises 95 % over a group of photos like the drawn ones, not for each photo; for real photos it is not proven. Left alone: what the caller stated, and ring lines of a face whose\nring angle nobody told, since those may be of any cut.\n\n| quantity | group | values | held before | factor |\n|---|---|---|---|---|\n");
        foreach (var c in cells)
            text.Append(CultureInfo.InvariantCulture, $"| {Words(c.Quantity)} | {c.Group} | {c.Values} | {100 * c.HeldBefore:0} % | {c.Factor:0.00} |\n");
        return text.ToString();
    }

    private static string Words(CalibratedQuantity q) => string.Concat(q.ToString().Select((c, i) => i > 0 && char.IsUpper(c) ? $" {char.ToLowerInvariant(c)}" : c.ToString()));
}
