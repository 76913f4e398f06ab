using System.Globalization;
using GrainVision.Grading.Deliveries;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Pieces;

namespace GrainVision.Synthesis;

/// <summary>What one photo of the demo truly shows, in the few numbers that decide.</summary>
public sealed record SurfaceTruth(
    int Piece, Surface Surface, string File, double? WorstInch, double? RingAngleDegrees, double? CombinedSlope, IReadOnlyList<BlemishKind> Blemishes)
{
    internal static SurfaceTruth Of(int piece, Surface surface, string file, PhotoTruth truth) => new(
        piece, surface, file, truth.Rings?.WorstInch, truth.RingAngle?.Degrees, truth.Grain?.CombinedSlope, [.. truth.Blemishes.Select(b => b.Kind)]);
}

/// <summary>What the verdict on a piece may be, for both uses of the demo (their limits on rings and slope are the same).</summary>
public enum DemoExpectation
{
    /// <summary>Sound by a wide margin: accept or hold, never reject.</summary>
    NotReject,

    /// <summary>Breaks a limit by a wide margin: reject or hold, never accept.</summary>
    NotAccept,

    /// <summary>Near a limit, or a blemish whose limit depends on its place: any verdict; but where the truth breaks a limit, never accept.</summary>
    Open,
}

/// <summary>The truth of one piece; its <c>BreaksALimit</c> is true where the truth itself is beyond 6 rings an inch or 1:15 (ANC-19 Table 2-13 and 2.4100): an accept is then wrong, however near.</summary>
public sealed record PieceTruth(int Piece, double WorstInch, double RingAngleDegrees, double CombinedSlope, IReadOnlyList<BlemishKind> Blemishes, bool BreaksALimit, DemoExpectation Expected);

/// <summary>The truth of the whole demo delivery.</summary>
public sealed record DemoTruth(int PhotoFiles, IReadOnlyList<PieceTruth> Pieces, IReadOnlyList<SurfaceTruth> Surfaces)
{
    /// <summary>6 rings an inch: least for spruce, ANC-19 (1943) Table 2-13.</summary>
    private const double LeastRings = 6;

    /// <summary>1:15: steepest slope of grain, AC 43.13-1B Table 1-1.</summary>
    private const double Steepest = 1 / 15.0;

    internal static DemoTruth Of(IReadOnlyList<DemoPiece> plan, IReadOnlyList<SurfaceTruth> surfaces, int files) => new(
        files,
        [.. plan.Select(p => Of(p.Piece.Number, [.. surfaces.Where(s => s.Piece == p.Piece.Number)]))],
        surfaces);

    private static PieceTruth Of(int piece, List<SurfaceTruth> surfaces)
    {
        var worst = surfaces.Min(s => s.WorstInch ?? double.MaxValue);
        var angle = surfaces.Min(s => s.RingAngleDegrees ?? double.MaxValue);
        var slope = surfaces.Max(s => s.CombinedSlope ?? 0);
        List<BlemishKind> blemishes = [.. surfaces.SelectMany(s => s.Blemishes)];
        var never = blemishes.Exists(b => b is BlemishKind.LooseKnot or BlemishKind.SpikeKnot or BlemishKind.Check or BlemishKind.ShakeOrSplit or BlemishKind.Pith);
        var breaks = worst < LeastRings || slope > Steepest || never;

        // Wide margins: a fifth on rings, a quarter on the slope.
        var expected = worst < 0.8 * LeastRings || slope > 1.25 * Steepest || never ? DemoExpectation.NotAccept
            : worst > 1.2 * LeastRings && slope < 0.75 * Steepest && angle > 55 && blemishes.Count == 0 ? DemoExpectation.NotReject
            : DemoExpectation.Open;
        return new PieceTruth(piece, worst, angle, slope, blemishes, breaks, expected);
    }

    /// <summary>What is wrong in a report of this delivery; empty where nothing is.</summary>
    public IReadOnlyList<string> Check(DeliveryReport report)
    {
        ArgumentNullException.ThrowIfNull(report);
        var wrong = new List<string>();
        foreach (var truth in Pieces)
        {
            if (report.Pieces.FirstOrDefault(p => p.Piece.Number == truth.Piece) is not { } piece)
            {
                wrong.Add($"Piece {truth.Piece} is missing.");
                continue;
            }

            foreach (var verdict in piece.Verdicts)
            {
                var accept = verdict.Outcome == Grading.Findings.VerdictOutcome.Accept;
                if (accept && (truth.BreaksALimit || truth.Expected == DemoExpectation.NotAccept))
                    wrong.Add(string.Create(CultureInfo.InvariantCulture, $"WRONG ACCEPT: piece {truth.Piece} for {verdict.Use}; worst inch {truth.WorstInch:0.0}, slope {truth.CombinedSlope:0.000}, {string.Join(", ", truth.Blemishes)}."));
                if (verdict.Outcome == Grading.Findings.VerdictOutcome.Reject && truth.Expected == DemoExpectation.NotReject)
                    wrong.Add($"Wrong reject: piece {truth.Piece} for {verdict.Use}: {verdict.Reasons.Select(r => r.Text).FirstOrDefault()}");
            }

            wrong.AddRange(piece.Findings.Photos
                .Where(p => !Surfaces.Any(s => s.Piece == truth.Piece && s.Surface == p.Place.Surface))
                .Select(p => $"Piece {truth.Piece} has a photo of {p.Place.Surface} that was never taken."));
        }

        foreach (var use in report.Tally)
        {
            var pieces = report.Pieces.SelectMany(p => p.Verdicts).Where(v => v.RuleBook == use.RuleBook).ToList();
            if (use.Accept.Pieces + use.Hold.Pieces + use.Reject.Pieces != Pieces.Count
                || use.Accept.Pieces != pieces.Count(v => v.Outcome == Grading.Findings.VerdictOutcome.Accept)
                || use.Reject.Pieces != pieces.Count(v => v.Outcome == Grading.Findings.VerdictOutcome.Reject))
                wrong.Add($"The tally for {use.Use} does not add up.");
        }

        if (report.Unsorted.Count != 1)
            wrong.Add($"{report.Unsorted.Count} photos are unsorted, 1 is.");
        return wrong;
    }
}
