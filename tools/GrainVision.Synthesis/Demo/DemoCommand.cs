using System.Diagnostics;
using System.Globalization;
using System.Text.Json;
using GrainVision.Grading.Deliveries;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Pieces;

namespace GrainVision.Synthesis;

/// <summary>
/// <c>delivery --out DIR [--megapixels 3]</c> writes the demo delivery; <c>check-delivery --report report.json --truth truth.json</c> holds its report
/// against the truth. 0: done, right; 1: the report is wrong; 2: wrong arguments.
/// </summary>
public static class DemoCommand
{
    /// <summary>3 MP: 9 pixels a ring on the whole face of a stick; drawn in under two minutes.</summary>
    private const double UsualMegapixels = 3;

    public static bool Knows(string[] args) => args is ["delivery" or "check-delivery", ..];

    public static int Run(string[] args, TextWriter output, TextWriter errors, Stopwatch clock)
    {
        ArgumentNullException.ThrowIfNull(output);
        ArgumentNullException.ThrowIfNull(errors);
        ArgumentNullException.ThrowIfNull(clock);
        switch (args)
        {
            case ["delivery", "--out", var folder]:
                return Write(folder, UsualMegapixels, output, clock);
            case ["delivery", "--out", var folder, "--megapixels", var text]
                when double.TryParse(text, NumberStyles.Float, CultureInfo.InvariantCulture, out var megapixels) && megapixels is >= 0.3 and <= 12:
                return Write(folder, megapixels, output, clock);
            case ["check-delivery", "--report", var report, "--truth", var truth]:
                return Check(report, truth, output);
            default:
                errors.WriteLine("delivery --out DIR [--megapixels 0.3 to 12], or check-delivery --report report.json --truth truth.json");
                return 2;
        }
    }

    private static int Write(string folder, double megapixels, TextWriter output, Stopwatch clock)
    {
        var count = DemoDelivery.Write(folder, megapixels);
        output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{count} files of {megapixels} MP in {clock.Elapsed.TotalSeconds:F0} s: {Path.Combine(folder, "photos")}, with delivery.json and truth.json"));
        return 0;
    }

    private static int Check(string reportFile, string truthFile, TextWriter output)
    {
        var report = JsonSerializer.Deserialize<DeliveryReport>(File.ReadAllText(reportFile), ContractJson.Options)!;
        var truth = JsonSerializer.Deserialize<DemoTruth>(File.ReadAllText(truthFile), ContractJson.Options)!;
        var wrong = truth.Check(report);
        foreach (var line in wrong)
            output.WriteLine(line);
        foreach (var use in report.Tally)
            output.WriteLine($"{use.Use}: accept {use.Accept.Pieces}, hold {use.Hold.Pieces}, reject {use.Reject.Pieces}");
        var settled = truth.Pieces.Count(t => report.Pieces.Any(p => p.Piece.Number == t.Piece && p.Verdicts.Any(v => v.Outcome != Grading.Findings.VerdictOutcome.Hold)));
        output.WriteLine($"{wrong.Count} wrong; {settled} of {truth.Pieces.Count} pieces are settled for a use without a hand measurement.");
        return wrong.Count == 0 ? 0 : 1;
    }
}
