using GrainVision.Grading.Deliveries;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Pieces;
using GrainVision.Grading.Verdicts;
using GrainVision.Presentation.Text;
using SkiaSharp;

namespace GrainVision.Presentation.Reports.Pdf;

/// <summary>A sheet for the foreman: a line a piece with its verdict for each use, what it is good for, and the questions left in walking order with boxes to tick.</summary>
public static class ShopSheet
{
    private const float NumberWidth = 30;
    private const float SizeWidth = 88;
    private const float UsesWidth = 190;
    private const float GoodLeft = NumberWidth + SizeWidth + UsesWidth;
    private const float Small = 8;
    private const float UseHeight = 13;

    /// <summary>Writes the sheet.</summary>
    /// <param name="stream">Where to; left open.</param>
    /// <param name="report">The delivery as it stands.</param>
    public static void Write(Stream stream, DeliveryReport report)
    {
        ArgumentNullException.ThrowIfNull(stream);
        ArgumentNullException.ThrowIfNull(report);
        PdfPaper.Write(stream, $"Shop sheet: {DeliveryWords.Supplier(report.Delivery)}", report.MadeUtc, $"{DeliveryWords.Supplier(report.Delivery)}. {VerdictCautions.Short}", pen => Draw(pen, report));
    }

    private static void Draw(PdfPen pen, DeliveryReport report)
    {
        pen.NewPage();
        pen.Text([new("Shop sheet", Bold: true)], 20);
        pen.Text([new(DeliveryWords.Supplier(report.Delivery), Bold: true)], 11, mostLines: 2);
        pen.Text($"{DeliveryWords.Facts(report)} As it stood on {DeliveryWords.Time(report.MadeUtc)}.");
        if (!report.IsComplete)
            pen.Text([new("Photos are still waiting: this is not the last word.", Bold: true)]);
        pen.Skip(6);
        foreach (var piece in report.Pieces)
            Row(pen, report, piece);
        Rule(pen);
        Ticks(pen, "On every piece", report.Walk.Select(w => w.Text));
        var asked = report.Pieces.SelectMany(p => p.Questions).Select(q => (q.Step, q.Code)).Distinct().Order().Select(q => QuestionWords.How(q.Code)).Distinct().ToList();
        if (asked.Count > 0)
            pen.Heading("How to answer", 10);
        foreach (var how in asked)
            pen.Text(how, size: Small);
    }

    private static void Row(PdfPen pen, DeliveryReport report, PieceReport piece)
    {
        var size = TextBlock.Wrap([new($"{DeliveryWords.Size(piece.Piece)}, {Figures.Number(piece.BoardFeet, 1)} bd ft")], Small, SizeWidth - 8, 3);
        var good = TextBlock.Wrap([new(GoodFor(report, piece))], Small, PdfPen.Width - GoodLeft, 4);
        var left = Questions(piece);
        var questions = left.Count == 0 ? null : TextBlock.Wrap(left, Small, PdfPen.Width - NumberWidth, 8);
        var height = Math.Max(Math.Max(size.HeightPx, good.HeightPx), Math.Max(18, piece.Standing.Count * UseHeight));
        pen.Need(height + (questions?.HeightPx ?? 0) + 9);
        Rule(pen);
        pen.Skip(3);
        var top = pen.Y;
        PdfInk.Words(pen.Canvas, Figures.Whole(piece.Piece.Number), PdfPen.Margin, top + 12, 13, bold: true);
        size.Draw(pen.Canvas, PdfPen.Margin + NumberWidth, top, PdfInk.Text);
        for (var i = 0; i < piece.Standing.Count; i++)
        {
            var standing = piece.Standing[i];
            var y = top + (i * UseHeight);
            var x = PdfPen.Margin + NumberWidth + SizeWidth;
            PdfInk.Chip(pen.Canvas, SKRect.Create(x, y, 50, 11), standing.Outcome);
            PdfInk.Fitted(pen.Canvas, Named(standing), x + 55, y + 0.5f, Small, UsesWidth - 62, standing.IsOverridden);
        }

        good.Draw(pen.Canvas, PdfPen.Margin + GoodLeft, top, PdfInk.Text);
        pen.Skip(height + 1);
        if (questions is null)
        {
            pen.Skip(2);
            return;
        }

        questions.Draw(pen.Canvas, PdfPen.Margin + NumberWidth, pen.Y, PdfInk.Text);
        pen.Skip(questions.HeightPx + 3);
    }

    /// <summary>The use, an override before it for ever, else who decided after it.</summary>
    private static string Named(UseStanding standing) =>
        standing.IsOverridden ? $"OVERRIDE: {standing.Use}" : standing.Decision is { DecidedBy: DecidedBy.Person } d ? $"{standing.Use} ({d.Person})" : standing.Use;

    /// <summary>Under the walk's steps, a box before each question.</summary>
    private static List<TextRun> Questions(PieceReport piece)
    {
        var runs = new List<TextRun>();
        foreach (var step in piece.Questions.GroupBy(q => q.Step).OrderBy(g => g.Key))
        {
            // No-break spaces keep step and box with the first word.
            var name = QuestionWords.Step(step.Key).ToUpperInvariant() + "\u00A0";
            foreach (var question in step)
            {
                runs.Add(new($"{name}\u2610\u00A0{QuestionWords.Brief(question, piece)}   "));
                name = "";
            }
        }

        return runs;
    }

    /// <summary>Uses that it is accepted for, parts planned out of it, else its clear lengths for the uses that are not lost.</summary>
    private static string GoodFor(DeliveryReport report, PieceReport piece)
    {
        var accepted = piece.Standing.Where(s => s.Outcome == VerdictOutcome.Accept).Select(s => s.Use).ToList();
        var parts = report.CutPlan?.Cuts.Where(c => c.PieceNumber == piece.Piece.Number).GroupBy(c => c.Part, StringComparer.Ordinal).Select(g => $"{Figures.Whole(g.Sum(c => c.CountSideBySide))} \u00d7 {g.Key}").ToList() ?? [];
        List<string> said = [];
        if (accepted.Count > 0)
            said.Add($"Whole piece: {string.Join(", ", accepted)}.");
        if (parts.Count > 0)
            said.Add($"Cut: {string.Join(", ", parts)}.");
        if (said.Count == 0)
        {
            var open = piece.Standing.Where(s => s.Outcome != VerdictOutcome.Reject).Select(s => s.RuleBook).ToHashSet(StringComparer.Ordinal);
            var longest = piece.ClearLengths.Where(c => open.Contains(c.RuleBook)).OrderByDescending(c => c.LengthMm).FirstOrDefault();
            said.Add(longest is not null ? $"Longest clear length {Figures.Station(longest.LengthMm)}, for {piece.Verdicts.First(v => v.RuleBook == longest.RuleBook).Use}." : open.Count > 0 ? "Open until the questions are answered." : "Nothing as it stands.");
        }

        return string.Join(' ', said);
    }

    private static void Ticks(PdfPen pen, string title, IEnumerable<string> lines)
    {
        var all = lines.ToList();
        if (all.Count == 0)
            return;
        pen.Heading(title, 10);
        foreach (var line in all)
            pen.Text([new("\u2610\u00A0"), new(line)], Small, 0, 3);
    }

    private static void Rule(PdfPen pen)
    {
        using var line = new SKPaint { Color = PdfInk.Rule, IsStroke = true, StrokeWidth = 0.7f };
        pen.Canvas.DrawLine(PdfPen.Margin, pen.Y, PdfPen.Margin + PdfPen.Width, pen.Y, line);
    }
}
