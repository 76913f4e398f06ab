using System.Globalization;
using GrainVision.Grading.Cards;
using GrainVision.Grading.Findings;
using GrainVision.Measuring;
using GrainVision.Measuring.Intake;
using GrainVision.Presentation.Cards;
using GrainVision.Synthesis;

namespace GrainVision.Accuracy;

/// <summary>Every listed check target printed, photographed and measured: how far each line of the comparison is off.</summary>
internal static class CheckTargetTrials
{
    public static void Run(IReadOnlyList<int> seeds, double megapixels, ScaleProp rule, double printedAt, string? folder, TextWriter output)
    {
        var request = new MeasuringRequest
        {
            View = View.End,
            Scale = rule switch { ScaleProp.MmRule => new SteelRuleScale(SteelRuleUnit.Mm), ScaleProp.InchRule => new SteelRuleScale(SteelRuleUnit.Inch), _ => null },
            CheckTarget = rule == ScaleProp.None ? null : new CheckTargetRequest(),
        };
        foreach (var seed in seeds)
        {
            foreach (var bands in CheckTargetDesign.Listed)
            {
                foreach (var difficulty in (ReadOnlySpan<Difficulty>)[Difficulty.Easy, Difficulty.Medium])
                {
                    var jpeg = SheetPhoto.Jpeg(bands, seed % 2 == 0 ? PaperSize.A4 : PaperSize.Letter, printedAt, seed, difficulty, megapixels, rule);
                    var (outcome, picture) = folder is null
                        ? (MeasureJob.Run(jpeg, request, null, IntakeLimits.Default, CancellationToken.None), null)
                        : DrawnAnswer.Run(jpeg, request, null);
                    var name = string.Create(CultureInfo.InvariantCulture, $"seed {seed} {difficulty,-6} {bands.PitchMm} mm at {bands.AngleDegrees}");
                    output.WriteLine($"{name}: {Words(outcome.Found, outcome.Refusal?.Code)}");
                    if (folder is null)
                        continue;
                    var file = Path.Combine(Directory.CreateDirectory(folder).FullName, string.Create(CultureInfo.InvariantCulture, $"target-{seed}-{difficulty}-{bands.PitchMm}-{bands.AngleDegrees}"));
                    File.WriteAllBytes(file + ".jpg", jpeg);
                    if (picture is not null)
                        File.WriteAllBytes(file + "-answer.jpg", picture);
                }
            }
        }
    }

    private static string Words(Measurement? m, string? refusal)
    {
        if (m is null)
            return "refused " + refusal;
        return m.CheckTarget is not { } target
            ? "not recognised"
            : (target.Ok ? "ok   " : target.IsOpen ? "open " : "FAIL ") + string.Join(", ", target.Lines.Select(l => string.Create(CultureInfo.InvariantCulture, $"{l.What} {(l.Difference is { } d ? $"{d:+0.000;-0.000} ± {(l.Measured!.Value.High - l.Measured.Value.Low) / 2:0.00}" : "-")}{(l.Ok ? "" : l.Open ? " ?" : " !")}")));
    }
}
