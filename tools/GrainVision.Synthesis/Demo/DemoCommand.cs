using System.Diagnostics;
using System.Globalization;
using System.Text.Json;
using GrainVision.Grading.Deliveries;
using GrainVision.Grading.Findings;

namespace GrainVision.Synthesis;

/// <summary>
/// <c>delivery --out DIR [--px-per-mm 6.8]</c> writes the demo delivery; <c>answer --server URL --report report.json --known known.json</c> has the simulated
/// inspector answer the delivery's questions; <c>check-delivery --report report.json --truth truth.json</c> holds its report against the truth. 0: done, right;
/// 1: the report is wrong; 2: wrong arguments.
/// </summary>
public static class DemoCommand
{
    /// <summary>6.8 px/mm: a foot of wood over some 2,500 pixels, well within a phone's 4,000; drawn in about two minutes.</summary>
    private const double UsualPxPerMm = 6.8;

    public static bool Knows(string[] args) => args is ["delivery" or "check-delivery" or "answer", ..];

    public static int Run(string[] args, TextWriter output, TextWriter errors, Stopwatch clock)
    {
        ArgumentNullException.ThrowIfNull(output);
        ArgumentNullException.ThrowIfNull(errors);
        ArgumentNullException.ThrowIfNull(clock);
        switch (args)
        {
            case ["delivery", "--out", var folder]:
                return Write(folder, UsualPxPerMm, output, clock);
            case ["delivery", "--out", var folder, "--px-per-mm", var text]
                when double.TryParse(text, NumberStyles.Float, CultureInfo.InvariantCulture, out var pxPerMm) && pxPerMm is >= 0.5 and <= 12:
                return Write(folder, pxPerMm, output, clock);
            case ["answer", "--server", var server, "--report", var report, "--known", var known] when Uri.TryCreate(server, UriKind.Absolute, out var address):
                return DemoAnswers.Run(address, Read(report).Delivery.Id, known, output).GetAwaiter().GetResult();
            case ["check-delivery", "--report", var report, "--truth", var truth]:
                return Check(report, truth, output);
            default:
                errors.WriteLine("delivery --out DIR [--px-per-mm 0.5 to 12], answer --server URL --report report.json --known known.json, or check-delivery --report report.json --truth truth.json");
                return 2;
        }
    }

    private static DeliveryReport Read(string file) => JsonSerializer.Deserialize<DeliveryReport>(File.ReadAllText(file), ContractJson.Options)!;

    private static int Write(string folder, double pxPerMm, TextWriter output, Stopwatch clock)
    {
        var count = DemoDelivery.Write(folder, pxPerMm);
        output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{count} files at {pxPerMm} px/mm in {clock.Elapsed.TotalSeconds:F0} s: {Path.Combine(folder, "photos")}, with delivery.json, truth.json and known.json"));
        return 0;
    }

    private static int Check(string reportFile, string truthFile, TextWriter output)
    {
        var report = Read(reportFile);
        var truth = JsonSerializer.Deserialize<DemoTruth>(File.ReadAllText(truthFile), ContractJson.Options)!;
        var wrong = truth.Check(report);
        foreach (var line in wrong)
            output.WriteLine(line);
        foreach (var use in report.Tally)
            output.WriteLine($"{use.Use}: accept {use.Accept.Pieces}, hold {use.Hold.Pieces}, reject {use.Reject.Pieces}");
        var settled = truth.Pieces.Count(t => report.Pieces.Any(p => p.Piece.Number == t.Piece && p.Verdicts.Any(v => v.Outcome != Grading.Findings.VerdictOutcome.Hold)));
        output.WriteLine($"{wrong.Count} wrong; {settled} of {truth.Pieces.Count} pieces are settled for a use.");
        return wrong.Count == 0 ? 0 : 1;
    }
}
