using GrainVision.Grading.Deliveries;
using GrainVision.Grading.Pieces;
using GrainVision.Presentation.Text;

namespace GrainVision.Presentation.Reports.Pdf;

/// <summary>The first page or two: tally, reasons for the mill, questions, walk, cut plan, cautions.</summary>
internal static class SummaryPages
{
    /// <summary>9 lines of a kind keep the summary to two pages; the pages of the pieces hold them all.</summary>
    private const int MostLines = 9;

    public static void Draw(PdfPen pen, DeliveryReport report)
    {
        pen.NewPage();
        pen.Text([new("Delivery report", Bold: true)], 20);
        pen.Text([new(DeliveryWords.Supplier(report.Delivery), Bold: true)], 12, mostLines: 2);
        pen.Text(Facts(report));
        if (!report.IsComplete)
            pen.Text([new("Not complete: photos are still waiting. The tally is not the last word.", Bold: true)], 11);

        pen.Heading("Tally by use");
        TallyTable.Draw(pen, report);
        if (report.Delivery.OrderedBoardFeet is { } ordered)
            pen.Text($"Upright mark: {Figures.Number(ordered, 1)} board feet ordered.", size: 7.5f);

        pen.Heading("Reasons to send to the mill");
        pen.Shared(ReportDigest.ForTheMill(report), 2 * MostLines);
        if (ReportDigest.Sources(report) is { Count: > 0 } sources)
            pen.Text([new("Limits from: " + string.Join("; ", sources) + ".", Color: PdfInk.Quiet)], 7, 8);
        pen.Heading("Questions left, in walking order");
        pen.Shared(ReportDigest.Questions(report), MostLines);
        if (report.Walk.Count > 0)
            pen.Heading("On every piece");
        foreach (var walk in report.Walk)
            pen.Text([new("\u2610 "), new(walk.Text)], 8, 8, 3);
        CutPlan(pen, report);
        LeftOver(pen, "Photos to assign by hand", report.Unsorted);
        LeftOver(pen, "Photos set aside", report.SetAside);
        pen.Heading("Cautions");
        foreach (var caution in report.Cautions)
            pen.Text("\u2022 " + caution, 8);
    }

    private static string Facts(DeliveryReport report)
    {
        var d = report.Delivery;
        var ordered = d.OrderedBoardFeet is { } o ? $" of {Figures.Number(o, 1)} ordered" : "";
        var species = d.Species is { } s ? $" {TradeWords.Species(s)}," : "";
        var moisture = d.StatedMoisturePercent is { } m ? $" Moisture as stated: {Figures.Plain(m)} %." : "";
        return $"{Figures.Whole(report.Pieces.Count)} pieces,{species} {Figures.Number(report.ArrivedBoardFeet, 1)} board feet arrived{ordered}.{moisture} Made {DeliveryWords.Made(report)}.";
    }

    private static void CutPlan(PdfPen pen, DeliveryReport report)
    {
        if (report.CutPlan is not { } plan)
            return;
        pen.Heading("Cut plan");
        foreach (var byPiece in plan.Cuts.GroupBy(c => c.PieceNumber).OrderBy(g => g.Key))
        {
            if (report.Pieces.FirstOrDefault(p => p.Piece.Number == byPiece.Key) is { } piece)
                new PieceBar(pen, piece, 64).Cuts($"piece {Figures.Whole(byPiece.Key)}", [.. byPiece.OrderBy(c => c.FromMm)]);
        }

        var missing = plan.Missing.OrderBy(m => m.Key, StringComparer.Ordinal).Select(m => $"{Figures.Whole(m.Value)} \u00d7 {m.Key}").ToList();
        var tail = plan.IsProvenBest ? "" : " A better plan may exist: the search was stopped at its time limit.";
        pen.Text($"Bars run from end A to end B. Waste of the pieces used: {Figures.Number(100 * plan.WasteFraction, 0)} %."
            + (missing.Count > 0 ? $" Missing: {string.Join(", ", missing)}." : " Nothing is missing.") + tail);
        pen.Text("Cut only after the questions of the piece are answered and the walk is done.", size: 8);
    }

    private static void LeftOver(PdfPen pen, string title, IReadOnlyList<PhotoLeftOver> photos)
    {
        if (photos.Count == 0)
            return;
        pen.Heading($"{title}: {Figures.Whole(photos.Count)}");
        foreach (var photo in photos.Take(MostLines))
            pen.Text([new(photo.FileName + ": ", Bold: true), new($"{photo.Why} {photo.Advice}")], 8.5f, 8, 3);
        if (photos.Count > MostLines)
            pen.Text($"And {Figures.Whole(photos.Count - MostLines)} more, in the CSV and JSON reports.", 8);
    }
}
