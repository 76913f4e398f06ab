using GrainVision.Grading.Deliveries;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Pieces;
using GrainVision.Grading.Quantities;
using GrainVision.Grading.Rules;
using GrainVision.Presentation.Text;

namespace GrainVision.Presentation.Reports;

/// <summary>Why a piece is rejected, in one sentence, with the photo that shows it.</summary>
/// <param name="Uses">Uses that it fails by this limit first.</param>
/// <param name="Text">Where, what was found, what is asked; ends with a full stop.</param>
/// <param name="Source">Where the limit is published, in short; empty of a person's decision.</param>
/// <param name="Photo">The photo that shows it; null where none does.</param>
/// <param name="At">Where in it, px; null for all of it.</param>
internal sealed record BrokenLimit(IReadOnlyList<string> Uses, string Text, string Source, PlacedMeasurement? Photo, PointPx? At);

/// <summary>The limits that pieces break, each use's first one: the judge lists what is broken before what is open, in the rule book's order.</summary>
internal static class BrokenLimits
{
    /// <summary>One for each limit that some use fails first, in the order of the uses; empty of a piece that is rejected for none.</summary>
    public static IReadOnlyList<BrokenLimit> Of(PieceReport piece, IReadOnlyList<RuleBook> books) =>
    [
        .. piece.Verdicts.Zip(piece.Standing).Where(v => v.Second.Outcome == VerdictOutcome.Reject).Select(v => First(piece, v.First, v.Second, books))
            .GroupBy(b => b.Text, StringComparer.Ordinal).Select(g => g.First() with { Uses = [.. g.SelectMany(b => b.Uses)] }),
    ];

    /// <summary>A reason in the trade's words, its place first: "Face 3, 1210 mm (4 ft 0 in) from end A: check 24 mm long; none permitted."</summary>
    public static string Sentence(PieceReport piece, Reason reason)
    {
        var mark = MarkOf(piece, reason) is { } b ? TradeWords.BriefBlemish(b) : null;
        if (ReasonWords.Of(reason, mark) is not { } words)
            return reason.Text.TrimEnd('.') + ".";
        var place = reason.Faces is { } pair ? $"{string.Join(" and ", pair.Select(SurfaceWords.From))} together: "
            : reason.Surface is { } surface
            ? SurfaceWords.From(surface) + (reason.StationMm is { } mm && surface is not (Surface.EndA or Surface.EndB) ? $", {Figures.Station(mm)} from end A" : "") + ": "
            : "";
        var subject = place.Length == 0 ? words.Subject : char.ToLowerInvariant(words.Subject[0]) + words.Subject[1..];
        return TradeWords.Sentence($"{place}{subject}{(words.Found.Length > 0 ? " " + words.Found : "")}; {words.Asked}.");
    }

    private static BrokenLimit First(PieceReport piece, Verdict verdict, UseStanding standing, IReadOnlyList<RuleBook> books)
    {
        // A person may be stricter than the rule: the piece is then rejected for that person's reason.
        if (verdict.Reasons.FirstOrDefault(r => r.Outcome == VerdictOutcome.Reject) is not { } reason)
            return new BrokenLimit([verdict.Use], $"Rejected by {standing.Decision?.Person}: {(standing.Decision?.Reason ?? "no reason given").TrimEnd('.')}.", "", null, null);
        // Of two faces together, the photo that shows the steepest grain.
        var photo = reason.Faces is { } pair
            ? piece.Findings.Photos.Where(p => pair.Contains(p.Place.Surface) && p.Measurement.Grain is not null).MaxBy(p => Math.Abs(p.Measurement.Grain!.WorstWindow.Value))
            : piece.Findings.Photos.FirstOrDefault(p => reason.Photo is { } sha ? p.Measurement.Photo.Sha256 == sha : reason.Surface == p.Place.Surface);
        var limit = books.FirstOrDefault(b => b.Id == verdict.RuleBook && b.Version == verdict.RuleBookVersion)?.Limits.FirstOrDefault(l => l.Id == reason.LimitId);
        return new BrokenLimit([verdict.Use], Sentence(piece, reason), limit?.MainSource ?? reason.Source, photo, reason.Photo is null || reason.Mark is null ? null : reason.At);
    }

    private static BlemishFinding? MarkOf(PieceReport piece, Reason reason) => reason.Mark is not { } name ? null
        : piece.Findings.Photos.FirstOrDefault(p => p.Measurement.Id == name.Measurement)?.Measurement.Blemishes.ElementAtOrDefault(name.Blemish - 1);
}
