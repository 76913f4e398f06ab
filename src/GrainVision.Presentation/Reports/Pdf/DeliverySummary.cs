using GrainVision.Grading.Deliveries;
using GrainVision.Grading.Pieces;
using GrainVision.Grading.Verdicts;
using GrainVision.Presentation.Text;

namespace GrainVision.Presentation.Reports.Pdf;

/// <summary>A delivery on a page: tally by use, cut plan, photos that a person must look at. Reasons stand in the mill letter, questions on the shop sheet, each piece in its inspection record.</summary>
public static class DeliverySummary
{
    /// <summary>12 photos to look at are named; the table of photos holds them all.</summary>
    private const int MostPhotos = 12;

    /// <summary>Writes the summary.</summary>
    /// <param name="stream">Where to; left open.</param>
    /// <param name="report">The delivery as it stands.</param>
    public static void Write(Stream stream, DeliveryReport report)
    {
        ArgumentNullException.ThrowIfNull(stream);
        ArgumentNullException.ThrowIfNull(report);
        PdfPaper.Write(stream, $"Delivery: {DeliveryWords.Supplier(report.Delivery)}", report.MadeUtc, $"{DeliveryWords.Supplier(report.Delivery)}. {VerdictCautions.Short}", pen => Draw(pen, report));
    }

    private static void Draw(PdfPen pen, DeliveryReport report)
    {
        pen.NewPage();
        pen.Text([new("Delivery", Bold: true)], 20);
        pen.Text([new(DeliveryWords.Supplier(report.Delivery), Bold: true)], 12, mostLines: 2);
        pen.Text($"{DeliveryWords.Facts(report)} As it stood on {DeliveryWords.Time(report.MadeUtc)}.");
        if (!report.IsComplete)
            pen.Text([new("Photos are still waiting: the tally is not the last word.", Bold: true)], 11);
        pen.Heading("Tally by use");
        TallyTable.Draw(pen, report);
        if (report.Delivery.OrderedBoardFeet is not null)
            pen.Text("Upright mark: what was ordered.", size: 7.5f);
        CutPlan(pen, report);
        LeftOver(pen, "Photos to assign by hand", report.Unsorted);
        LeftOver(pen, "Photos set aside", report.SetAside);
        pen.Heading("Cautions");
        foreach (var caution in report.Cautions)
            pen.Text("\u2022 " + caution, 8);
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
        // What several share is said once.
        foreach (var same in photos.Take(MostPhotos).GroupBy(p => $"{p.Why} {p.Advice}", StringComparer.Ordinal))
            pen.Text([new(string.Join(", ", same.Select(p => p.FileName)) + ": ", Bold: true), new(same.Key)], 8.5f, 8, 4);
        if (photos.Count > MostPhotos)
            pen.Text($"And {Figures.Whole(photos.Count - MostPhotos)} more.", 8);
    }
}
