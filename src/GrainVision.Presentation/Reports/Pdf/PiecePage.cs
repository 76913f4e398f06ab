using GrainVision.Grading.Deliveries;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Pieces;
using GrainVision.Grading.Verdicts;
using GrainVision.Presentation.Text;
using SkiaSharp;

namespace GrainVision.Presentation.Reports.Pdf;

/// <summary>One page for one piece: verdict by use with reasons, measurements, lengths, questions, pictures.</summary>
internal static class PiecePage
{
    private const float LabelWidth = 104;

    /// <summary>2 limits a use: the gravest come first; the rest are counted and stand in the text and JSON reports.</summary>
    private const int MostReasons = 2;

    /// <summary>10 questions: what one piece should be asked at most.</summary>
    private const int MostQuestions = 10;

    public static void Draw(PdfPen pen, DeliveryReport report, PieceReport piece, Func<string, byte[]?> pictureOf)
    {
        pen.NewPage();
        pen.Text([new($"Piece {Figures.Whole(piece.Piece.Number)}", Bold: true)], 20);
        var mark = piece.Piece.SpeciesMark is { Length: > 0 } m ? $", marked {m}" : "";
        pen.Text($"{DeliveryWords.Size(piece.Piece)}, {Figures.Number(piece.BoardFeet, 1)} board feet, {DeliveryWords.Species(piece.Piece, report.Delivery)}{mark}", size: 11);
        pen.Skip(4);
        foreach (var (verdict, standing) in piece.Verdicts.Zip(piece.Standing))
            Verdict(pen, verdict, standing);

        pen.Heading("Measured (95 % intervals)", 11);
        foreach (var (label, value) in DeliveryWords.Measurements(piece, report.Delivery))
            pen.Text([new(label + ": ", Bold: true), new(value)], mostLines: 4);

        Lengths(pen, report, piece);
        if (piece.Questions.Count > 0)
        {
            pen.Heading("Still to do by hand, in walking order", 11);
            foreach (var question in piece.Questions.Take(MostQuestions))
                pen.Text([new("\u2610 "), new(question.Text)], 8, 4, 3);
            if (piece.Questions.Count > MostQuestions)
                pen.Text($"And {Figures.Whole(piece.Questions.Count - MostQuestions)} more, in the text and JSON reports.", 4, 8);
        }

        pen.Skip(6);
        PagePictures.Draw(pen, piece, pictureOf);
    }

    private static void Verdict(PdfPen pen, Verdict verdict, UseStanding standing)
    {
        pen.Need(54);
        PdfInk.Chip(pen.Canvas, SKRect.Create(PdfPen.Margin, pen.Y, 72, 16), standing.Outcome);
        var name = TextBlock.Wrap([new(verdict.Use, Bold: true), new($" ({verdict.Scope}; rule book {verdict.RuleBook} {Figures.Whole(verdict.RuleBookVersion)})")], 9.5f, PdfPen.Width - 80, 2);
        name.Draw(pen.Canvas, PdfPen.Margin + 80, pen.Y + 1, PdfInk.Text);
        pen.Skip(Math.Max(18, name.HeightPx + 3));
        if (DeliveryWords.Decided(standing) is { } decided)
            pen.Text([new($"On record: {decided}", Bold: standing.IsOverridden)], 8.5f, 80, 3);
        if (verdict.Outcome == VerdictOutcome.Accept)
            pen.Text($"All {Figures.Whole(verdict.Reasons.Count(r => r.Outcome == VerdictOutcome.Accept))} limits are met.", 80, 8.5f);
        else
        {
            var reasons = ReportDigest.Brief(verdict);
            foreach (var reason in reasons.Take(MostReasons))
                pen.Text([new(reason)], 8.5f, 80, 2);
            if (reasons.Count > MostReasons)
                pen.Text($"And {Figures.Whole(reasons.Count - MostReasons)} more limits, in the text and JSON reports.", 80, 8.5f);
        }

        pen.Skip(4);
    }

    private static void Lengths(PdfPen pen, DeliveryReport report, PieceReport piece)
    {
        pen.Heading("Clear lengths, from end A to end B", 11);
        pen.Need((piece.Verdicts.Count * 19) + 60);
        var bar = new PieceBar(pen, piece, LabelWidth);
        bar.Blemishes();
        foreach (var verdict in piece.Verdicts)
            bar.ClearLengths(verdict.RuleBook, verdict.Use);
        if (report.CutPlan?.Cuts.Where(c => c.PieceNumber == piece.Piece.Number).ToList() is { Count: > 0 } cuts)
            bar.Cuts("cut plan", cuts);
        bar.Stations();
        pen.Text("Plain: nothing seen speaks against the use there. Crossed: something does, or it was not shown.", size: 7.5f);
    }
}
