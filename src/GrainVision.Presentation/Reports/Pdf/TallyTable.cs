using GrainVision.Grading.Deliveries;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Verdicts;
using GrainVision.Presentation.Text;
using SkiaSharp;

namespace GrainVision.Presentation.Reports.Pdf;

/// <summary>Pieces and board feet by verdict and use, as numbers and as a bar against what was ordered.</summary>
internal static class TallyTable
{
    private const float UseWidth = 175;
    private const float CellWidth = (PdfPen.Width - UseWidth) / 3;
    private const float BarHeight = 12;

    public static void Draw(PdfPen pen, DeliveryReport report)
    {
        pen.Need(60);
        for (var i = 0; i < 3; i++)
            PdfInk.Chip(pen.Canvas, SKRect.Create(PdfPen.Margin + UseWidth + (i * CellWidth), pen.Y, CellWidth - 8, 14), (VerdictOutcome)i);
        pen.Skip(18);
        var most = Math.Max(report.Delivery.OrderedBoardFeet ?? 0, report.ArrivedBoardFeet);
        foreach (var use in report.Tally)
        {
            var name = TextBlock.Wrap([new(use.Use, Bold: true)], PdfPen.Body, UseWidth - 8, 3);
            var height = Math.Max(name.HeightPx, 13);
            pen.Need(height + BarHeight + 8);
            name.Draw(pen.Canvas, PdfPen.Margin, pen.Y, PdfInk.Text);
            TallyCell[] cells = [use.Accept, use.Hold, use.Reject];
            for (var i = 0; i < 3; i++)
            {
                var words = $"{Figures.Whole(cells[i].Pieces)} pcs, {Figures.Number(cells[i].BoardFeet, 1)} bd ft";
                PdfInk.Words(pen.Canvas, words, PdfPen.Margin + UseWidth + (i * CellWidth), pen.Y + 9.5f, 9.5f);
            }

            pen.Skip(height + 2);
            if (use.Overrides > 0)
                pen.Text($"{Figures.Whole(use.Overrides)} of these overridden by a person, with a reason: see their inspection records.", size: 7.5f);
            Bar(pen, cells, most, report.Delivery.OrderedBoardFeet);
            pen.Skip(BarHeight + 7);
        }
    }

    private static void Bar(PdfPen pen, TallyCell[] cells, double most, double? ordered)
    {
        if (!(most > 0))
            return;
        var x = PdfPen.Margin;
        for (var i = 0; i < 3; i++)
        {
            var width = (float)(cells[i].BoardFeet / most * PdfPen.Width);
            PdfInk.Fill(pen.Canvas, SKRect.Create(x, pen.Y, width, BarHeight), (VerdictOutcome)i);
            x += width;
        }

        if (ordered is not { } o)
            return;
        var at = PdfPen.Margin + (float)(o / most * PdfPen.Width);
        using var mark = new SKPaint { Color = PdfInk.Text, IsStroke = true, StrokeWidth = 1.6f };
        pen.Canvas.DrawLine(at, pen.Y - 3, at, pen.Y + BarHeight + 3, mark);
    }
}
