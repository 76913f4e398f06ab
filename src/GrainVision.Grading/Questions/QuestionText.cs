using System.Globalization;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Pieces;
using GrainVision.Grading.Quantities;
using GrainVision.Grading.Rules;
using GrainVision.Grading.Verdicts;

namespace GrainVision.Grading.Questions;

/// <summary>Questions in words: what to do, where, and what is wanted. Numbers as a person in the shop reads them.</summary>
internal static class QuestionText
{
    internal static string Compose(JoinedPiece joined, IReadOnlyList<OpenPoint> points)
    {
        var first = points[0];
        var at = first.Reason.Surface is { } surface ? $"{PieceSurfaces.From(surface)}: " : "";
        return first.Code switch
        {
            QuestionCode.ShowEnd => $"{at}not photographed. Photograph it, or count the rings in its widest-ringed inch and measure their angle to the wide face.",
            QuestionCode.Rings => $"{at}count the rings in the widest-ringed inch along a radius{Wanted(points, "rings/in", l => $"{l} or more")}.",
            QuestionCode.RingAngle => $"{at}measure the angle of the rings to the wide face: at the middle, the least and the greatest{Wanted(points, "deg", l => $"{l}° or more")}.",
            QuestionCode.Pith => $"{at}is the pith inside the section? It may not be.",
            QuestionCode.Mark => Mark(joined, points),
            QuestionCode.Cracks => $"Look with a lens for fine cracks, which the photos are too coarse to show: {Surfaces(points)}.",
            QuestionCode.LookOver => joined.Loose.Count > 0
                ? "Do the photos show both ends and all four faces from end to end? Look over what they do not show for blemishes."
                : $"Look over for blemishes what no photo shows: {NotSearched(joined, points)}.",
            QuestionCode.Moisture => first.Reason.Measured is { } read
                ? $"Moisture is {ReasonText.Interval(read, " %", 1)}: read it again, oven-dry a sample, or season the piece{Range(points)}."
                : $"Read the moisture with a meter set to the species, or note its correction{Range(points)}.",
            QuestionCode.Weight => joined.Readings.WeightLb is null && PieceWeight.HasStep(joined.Species)
                ? "Weigh the piece."
                : $"Find the specific gravity of an oven-dry sample{Wanted(points, "1", l => $"{l} or more")}.",
            QuestionCode.Size => "Measure the width, the thickness and the length of the piece with a tape.",
            QuestionCode.Slope => $"Find the true slope of grain where it looks steepest: scribe two adjacent faces and combine, or split a sliver{Slope(joined, points)}.",
            QuestionCode.Fibres => $"Scribe or ink {Surfaces(points)} once: do the fibres run as the lines in the pictures?",
            QuestionCode.Outline => $"Does the outline in the pictures of {Surfaces(points)} run along the edges of the wood all round? Where it does not, photograph that surface again on a plain bench of another colour.",
            QuestionCode.RuleUnit => "Is the rule beside the piece in the photos metric?",
            QuestionCode.Species => "Which wood is it, and of which class where it has one?",
            QuestionCode.ApprovedData => $"No published limit is known ({first.Limit?.Text.TrimEnd('.') ?? first.Reason.LimitId}): decide from approved data.",
            _ => first.Reason.HandCheck ?? first.Reason.Text,
        };
    }

    private static string Mark(JoinedPiece joined, IReadOnlyList<OpenPoint> points)
    {
        if (QuestionFinder.MarksOf(points) is { Count: > 1 } several)
            return Marks(joined, points[0].Reason.Surface!.Value, several);
        var name = points[0].Reason.Mark!;
        var finding = joined.Marks.FirstOrDefault(m => m.Name == name)?.Finding
            ?? joined.Loose.FirstOrDefault(m => m.Id == name.Measurement)?.Blemishes.ElementAtOrDefault(name.Blemish - 1);
        var surface = points[0].Reason.Surface;
        var place = $"{(surface is { } s ? PieceSurfaces.From(s) : "Mark")}{(points[0].Reason.StationMm is { } mm && surface is not (Surface.EndA or Surface.EndB) ? $", {Whole(mm)} mm from end A" : "")}";
        if (finding is null)
            return $"{place}: what is mark {name.Blemish}?";
        var what = $"{Article(BlemishWords.From(finding.Kind))} of {Whole(Math.Max(1, finding.LengthMm))} by {Whole(Math.Max(1, finding.WidthMm))} mm (mark {name.Blemish} of its picture)";
        return finding.Probability >= BlemishJudge.SureProbability
            ? $"{place}: {what}. {points[0].Reason.HandCheckOfSurface ?? points[0].Reason.HandCheck}"
            : $"{place}: is this {what}, something else, or nothing? Look with a lens; if it is a blemish, measure it.";
    }

    /// <summary>"Face 4: is any of these anything? Mark 1, 120 mm from end A; mark 2, 340 mm. ..."</summary>
    private static string Marks(JoinedPiece joined, Surface surface, IReadOnlyList<MarkName> marks)
    {
        var places = joined.Marks.Where(m => marks.Contains(m.Name)).Select(m =>
            $"mark {m.Name.Blemish}{(m.StationMm is { } mm && surface is not (Surface.EndA or Surface.EndB) ? $", {Whole(mm.Value)} mm from end A" : "")}");
        return $"{PieceSurfaces.From(surface)}: is any of these a blemish? {string.Join("; ", places)}. Look with a lens and say of each what it is, or that it is nothing; measure a blemish.";
    }

    private static string NotSearched(JoinedPiece joined, IReadOnlyList<OpenPoint> points)
    {
        var surfaces = points.Select(p => p.Reason.Surface).OfType<Surface>().Distinct().Order();
        return string.Join("; ", surfaces.Select(s => joined.Faces.TryGetValue(s, out var face) && face.NoBlemishSearch.Count > 0
            ? $"{SurfaceWords.From(s)} {string.Join(" and ", face.NoBlemishSearch.Select(g => $"{Whole(g.FromMm)} to {Whole(g.ToMm)} mm"))}"
            : SurfaceWords.From(s)));
    }

    private static string Surfaces(IReadOnlyList<OpenPoint> points)
    {
        var named = points.Select(p => p.Reason.Surface).OfType<Surface>().Distinct().Order().Select(SurfaceWords.From).ToList();
        return named.Count == 0 ? "all surfaces" : string.Join(", ", named);
    }

    /// <summary>", 6 or more wanted": the strictest of the limits that are open.</summary>
    private static string Wanted(IReadOnlyList<OpenPoint> points, string unit, Func<string, string> say)
    {
        var limits = points.Where(p => p.Reason.Unit == unit).Select(p => p.Reason.Limit).OfType<double>().ToList();
        return limits.Count == 0 ? "" : $", {say(ReasonText.Plain(limits.Max()))} wanted";
    }

    private static string Range(IReadOnlyList<OpenPoint> points)
    {
        var ranges = points.Select(p => p.Limit).OfType<MoistureRange>().ToList();
        return ranges.Count == 0 ? "" : $", {ReasonText.Plain(ranges.Max(r => r.LeastPercent))} to {ReasonText.Plain(ranges.Min(r => r.MostPercent))} % wanted";
    }

    /// <summary>The flattest that any slope limit of the open uses asks for.</summary>
    private static string Slope(JoinedPiece joined, IReadOnlyList<OpenPoint> points)
    {
        var limits = points.SelectMany(p => p.Book.Limits.OfType<SlopeOfGrain>()).SelectMany(l => SpeciesJudge.Rows(l, joined.Species)).Select(r => r.SteepestOneIn).ToList();
        return limits.Count == 0 ? "" : $", 1:{Whole(limits.Max())} or flatter wanted";
    }

    private static string Article(string noun) => $"{("aeiou".Contains(noun[0], StringComparison.Ordinal) ? "an" : "a")} {noun}";

    private static string Whole(double value) => Math.Round(value).ToString("0", CultureInfo.InvariantCulture);
}
