using System.Globalization;
using GrainVision.Grading.Deliveries;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Pieces;
using GrainVision.Grading.Quantities;

namespace GrainVision.Presentation.Text;

/// <summary>What a delivery and its pieces are called in CSV, text and PDF.</summary>
internal static class DeliveryWords
{
    /// <summary>"8/4 x 6 in x 16 ft".</summary>
    public static string Size(Piece piece) =>
        string.Create(CultureInfo.InvariantCulture, $"{piece.NominalQuarters}/4 \u00d7 {Figures.Plain(piece.WidthIn)} in \u00d7 {Figures.Plain(piece.LengthFt)} ft");

    public static string Species(Piece piece, Delivery delivery) => (piece.Species ?? delivery.Species) is { } kebab ? TradeWords.Species(kebab) : "species not stated";

    /// <summary>"3, 7-9, 12".</summary>
    public static string Pieces(IEnumerable<int> numbers)
    {
        var all = numbers.Distinct().Order().ToList();
        var parts = new List<string>();
        for (var i = 0; i < all.Count;)
        {
            var j = i;
            while (j + 1 < all.Count && all[j + 1] == all[j] + 1)
                j++;
            var (first, last) = (Figures.Whole(all[i]), Figures.Whole(all[j]));
            parts.Add(j == i ? first : j == i + 1 ? $"{first}, {last}" : $"{first}-{last}");
            i = j + 1;
        }

        return string.Join(", ", parts);
    }

    /// <summary>What was measured on a piece, label and value with its interval, for print.</summary>
    public static IEnumerable<(string Label, string Value)> Measurements(PieceReport report, Delivery delivery)
    {
        var f = report.Findings;
        yield return ("Worst inch", f.WorstInch is { } w ? Figures.Span(w, "", 1) + " rings per inch" : "not measured");
        yield return ("Least ring angle", f.RingAngleDegrees is { } a ? Figures.Span(a, "\u00b0", 0) : "not measured");
        yield return ("Slope of grain", f.CombinedSlope is { } s ? SlopeWords.From(s) + ", two faces together" : "not measured on two adjacent faces");
        yield return ("Blemishes", f.Blemishes.Count == 0 ? "none found on the faces shown" : Blemishes(f.Blemishes));
        if (report.MoisturePercent is { } m)
            yield return ("Moisture", Figures.Span(m, " %") + Stated(delivery));
        else if (delivery.StatedMoisturePercent is not null)
            yield return ("Moisture", "not read" + Stated(delivery));
        if (report.WeightLb is { } lb)
            yield return ("Weight", $"{Figures.Plain(Math.Round(lb.Value, 2))} lb");
        if (report.SpecificGravity is { } g)
            yield return ("Specific gravity", Figures.Number(g, 3) + " (oven-dry)");
        if (f.NotShown.Count > 0)
            yield return ("Not shown", string.Join(", ", f.NotShown.Select(SurfaceWords.From)));
    }

    /// <summary>"knot 6 mm at 2410 mm (face 1, face 3); check? 24 mm long at 800 mm (face 2)"; at most six, the rest counted.</summary>
    public static string Blemishes(IReadOnlyList<PieceBlemish> blemishes)
    {
        var shown = blemishes.Take(6).Select(b =>
            $"{TradeWords.Called(b.Kind, b.Probability)} {TradeWords.Extent(b.Kind, b.DiameterMm.Value, b.LengthMm)}".TrimEnd()
            + (b.StationMm is { } at ? $" at {Figures.Number(at, 0)} mm" : "")
            + $" ({string.Join(", ", b.Surfaces.Select(SurfaceWords.From))})");
        return string.Join("; ", shown) + (blemishes.Count > 6 ? $"; and {blemishes.Count - 6} more" : "");
    }

    /// <summary>"decided by A. Example on 2026-11-25 14:05 UTC: split a sliver, straight. Override: the rule says hold."; null where nobody decided.</summary>
    public static string? Decided(UseStanding standing, bool withReason = true)
    {
        var marked = standing.IsOverridden ? $" Override{(standing.Decision is { Override: true } ? "" : ", earlier")}: the rule says {TradeWords.Outcome(standing.ByRule)}." : "";
        if (standing.Decision is not { } decision)
            return null;
        var who = decision.DecidedBy == DecidedBy.Rule ? $"put on record by rule ({decision.Person})" : $"decided by {decision.Person}";
        var reason = withReason && decision.Reason is { Length: > 0 } why ? $": {why.TrimEnd('.')}." : ".";
        var outdated = standing.IsOutdated ? $" Since then the evidence has changed: by the rule {TradeWords.Outcome(decision.ByRule)} then, {TradeWords.Outcome(standing.ByRule)} now." : "";
        return $"{TradeWords.Outcome(decision.Verdict)} {who} on {Time(decision.AtUtc)}{reason}{marked}{outdated}";
    }

    /// <summary>"24 pieces, Sitka spruce, 128.0 board feet of 100.0 ordered."</summary>
    public static string Facts(DeliveryReport report)
    {
        var d = report.Delivery;
        var ordered = d.OrderedBoardFeet is { } o ? $" of {Figures.Number(o, 1)} ordered" : "";
        var species = d.Species is { } s ? $" {TradeWords.Species(s)}," : "";
        var moisture = d.StatedMoisturePercent is { } m ? $" Moisture as the mill states it: {Figures.Plain(m)} %." : "";
        return $"{Figures.Whole(report.Pieces.Count)} pieces,{species} {BoardFeet(report.ArrivedBoardFeet)}{ordered}.{moisture}";
    }

    public static string Supplier(Delivery delivery) => $"{delivery.Supplier}, order {delivery.OrderNumber}";

    /// <summary>"5.3 board feet".</summary>
    public static string BoardFeet(double feet) => $"{Figures.Number(feet, 1)} board feet";

    /// <summary>"25 November 2026".</summary>
    public static string Day(DateTimeOffset at) => at.UtcDateTime.ToString("d MMMM yyyy", CultureInfo.InvariantCulture);

    /// <summary>"2026-11-25 14:05 UTC".</summary>
    public static string Time(DateTimeOffset at) => at.UtcDateTime.ToString("yyyy-MM-dd HH:mm", CultureInfo.InvariantCulture) + " UTC";

    private static string Stated(Delivery delivery) => delivery.StatedMoisturePercent is { } s ? $" (supplier states {Figures.Plain(s)} %)" : "";
}
