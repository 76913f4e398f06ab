using GrainVision.Grading.Deliveries;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Pieces;
using GrainVision.Grading.Rules;
using GrainVision.Grading.Verdicts;
using GrainVision.Presentation.Text;
using SkiaSharp;

namespace GrainVision.Presentation.Reports.Pdf;

/// <summary>
/// The record of one piece for an inspector: verdict and decision for each use, overrides marked for ever, what was measured with its intervals, every limit with
/// its source, readings and answers, the photos, lines to sign.
/// </summary>
public static class InspectionRecord
{
    private const float Small = 8;
    private const float LabelWidth = 104;
    private const float Gap = 10;
    private const float CellWidth = (PdfPen.Width - Gap) / 2;
    private const float PictureHeight = 150;

    /// <summary>Writes the record.</summary>
    /// <param name="stream">Where to; left open.</param>
    /// <param name="delivery">Whose piece it is.</param>
    /// <param name="piece">The piece as it stands.</param>
    /// <param name="books">The uses that it is judged for.</param>
    /// <param name="made">Now.</param>
    /// <param name="annotatedPicture">The annotated picture of the measurement with this id; null where none is kept.</param>
    public static void Write(Stream stream, Delivery delivery, PieceReport piece, IReadOnlyList<RuleBook> books, DateTimeOffset made, Func<string, byte[]?> annotatedPicture)
    {
        ArgumentNullException.ThrowIfNull(stream);
        ArgumentNullException.ThrowIfNull(delivery);
        ArgumentNullException.ThrowIfNull(piece);
        ArgumentNullException.ThrowIfNull(books);
        ArgumentNullException.ThrowIfNull(annotatedPicture);
        var title = $"Inspection record: piece {Figures.Whole(piece.Piece.Number)}, {DeliveryWords.Supplier(delivery)}";
        PdfPaper.Write(stream, title, made, $"Piece {Figures.Whole(piece.Piece.Number)}, {DeliveryWords.Supplier(delivery)}. {VerdictCautions.Short}", pen => Draw(pen, delivery, piece, books, made, annotatedPicture));
    }

    private static void Draw(PdfPen pen, Delivery delivery, PieceReport piece, IReadOnlyList<RuleBook> books, DateTimeOffset made, Func<string, byte[]?> pictureOf)
    {
        var notes = new Footnotes();
        pen.NewPage();
        pen.Text([new($"Inspection record, piece {Figures.Whole(piece.Piece.Number)}", Bold: true)], 18);
        var mark = piece.Piece.SpeciesMark is { Length: > 0 } m ? $", marked {m}" : "";
        pen.Text([new($"{DeliveryWords.Size(piece.Piece)}, {DeliveryWords.BoardFeet(piece.BoardFeet)}, {DeliveryWords.Species(piece.Piece, delivery)}{mark}", Bold: true)], 11);
        pen.Text($"{DeliveryWords.Supplier(delivery)}. As it stood on {DeliveryWords.Time(made)}.");
        pen.Skip(4);
        foreach (var (verdict, standing) in piece.Verdicts.Zip(piece.Standing))
            Verdict(pen, verdict, standing, books);
        pen.Heading("Measured, with 95 % intervals", 11);
        foreach (var (label, value) in DeliveryWords.Measurements(piece, delivery))
            pen.Text([new(label + ": ", Bold: true), new(value)], mostLines: 4);
        Lengths(pen, piece);
        Reasons(pen, piece, notes);
        Readings(pen, piece, books);
        if (piece.Questions.Count > 0)
        {
            pen.Heading("Open, in walking order", 11);
            foreach (var question in piece.Questions)
                pen.Text([new($"\u2610\u00A0{QuestionWords.Step(question.Step)}: "), new(QuestionWords.Brief(question, piece))], Small, 0, 3);
        }

        Decisions(pen, piece);
        notes.Draw(pen, "Where the limits are published");
        pen.Need(90);
        pen.Heading("Signed", 11);
        pen.Skip(14);
        Signature.Draw(pen, ["inspected by", "date"]);
        pen.Skip(14);
        Signature.Draw(pen, ["licensed inspector", "licence number", "date"]);
        Photos(pen, piece, pictureOf);
    }

    private static void Verdict(PdfPen pen, Verdict verdict, UseStanding standing, IReadOnlyList<RuleBook> books)
    {
        pen.Need(34);
        PdfInk.Chip(pen.Canvas, SKRect.Create(PdfPen.Margin, pen.Y, 72, 16), standing.Outcome);
        var title = books.FirstOrDefault(b => b.Id == verdict.RuleBook)?.Title is { } t ? $"rule book \u201C{t}\u201D, " : "";
        var name = TextBlock.Wrap([new(TradeWords.Sentence(verdict.Use), Bold: true), new($", {title}version {Figures.Whole(verdict.RuleBookVersion)}")], 9.5f, PdfPen.Width - 80, 2);
        name.Draw(pen.Canvas, PdfPen.Margin + 80, pen.Y + 1, PdfInk.Text);
        pen.Skip(Math.Max(18, name.HeightPx + 3));
        if (standing.IsOverridden)
        {
            var box = SKRect.Create(PdfPen.Margin + 80, pen.Y, 66, 12);
            PdfInk.Frame(pen.Canvas, box, PdfInk.Text, 1.4f);
            PdfInk.Words(pen.Canvas, "OVERRIDE", box.MidX, box.Bottom - 3, 8.5f, bold: true, SKTextAlign.Center);
            pen.Skip(15);
        }

        if (DeliveryWords.Decided(standing, withReason: false) is { } decided)
            pen.Text([new(TradeWords.Sentence(decided), Bold: standing.IsOverridden)], Small, 80, 3);
    }

    private static void Lengths(PdfPen pen, PieceReport piece)
    {
        pen.Heading("Clear lengths, from end A to end B", 11);
        pen.Need((piece.Verdicts.Count * 19) + 60);
        var bar = new PieceBar(pen, piece, LabelWidth);
        bar.Blemishes();
        foreach (var verdict in piece.Verdicts)
            bar.ClearLengths(verdict.RuleBook, verdict.Use);
        bar.Stations();
        pen.Text("Plain: nothing seen speaks against the use there. Crossed: something does, or it was not shown.", size: 7.5f);
    }

    /// <summary>Each finding against its limit once, with the uses that it is of: broken ones, then open ones, then what is met.</summary>
    private static void Reasons(PdfPen pen, PieceReport piece, Footnotes notes)
    {
        var every = string.Join(", ", piece.Verdicts.Select(v => v.Use).Distinct());
        var all = piece.Verdicts.SelectMany(v => v.Reasons.Select(r => (v.Use, Reason: r, Text: BrokenLimits.Sentence(piece, r)))).ToList();
        foreach (var (outcome, title) in new[] { (VerdictOutcome.Reject, "Limits broken"), (VerdictOutcome.Hold, "Limits open"), (VerdictOutcome.Accept, "Limits met") })
        {
            var these = all.Where(r => r.Reason.Outcome == outcome).GroupBy(r => r.Text, StringComparer.Ordinal).ToList();
            if (these.Count == 0)
                continue;
            pen.Heading(title, 11);
            foreach (var same in these.GroupBy(g => (g.First().Reason.LimitId, Uses: string.Join(", ", g.Select(r => r.Use).Distinct()))))
            {
                var sources = string.Concat(same.SelectMany(g => g).Select(r => r.Reason.Source).Distinct().Select(notes.Mark));
                var shown = same.Take(MostOfALimit).Select(g => g.Key);
                var more = same.Count() - MostOfALimit;
                pen.Text([new(string.Join(' ', shown) + (more > 0 ? $" And {Figures.Whole(more)} more of this kind." : "")), new((same.Key.Uses == every ? "" : $" Asked of {same.Key.Uses} only.") + sources, Color: PdfInk.Quiet)], Small, 0, 8);
                pen.Skip(1.5f);
            }
        }
    }

    /// <summary>4 findings of one limit and outcome are written out; a face full of knots would fill the paper.</summary>
    private const int MostOfALimit = 4;

    private static void Readings(PdfPen pen, PieceReport piece, IReadOnlyList<RuleBook> books)
    {
        if (piece.HandFindings.Count == 0)
            return;
        pen.Heading("Found by hand", 11);
        foreach (var found in piece.HandFindings)
        {
            var finding = found.Finding;
            var corrected = found.CorrectedBy is null ? "" : " Corrected by a later one.";
            var note = finding.Note is { Length: > 0 } n ? $" {n.TrimEnd('.')}." : "";
            pen.Text(
            [
                new($"{DeliveryWords.Time(finding.At ?? found.EnteredUtc)}: "), new(TradeWords.Sentence(HandWords.From(finding, piece, books)).TrimEnd('.') + ".", Bold: found.CorrectedBy is null),
                new($" By {finding.By}, {finding.Instrument}.{note}{corrected}"),
            ], Small, 0, 4);
        }
    }

    private static void Decisions(PdfPen pen, PieceReport piece)
    {
        if (piece.Decisions.Count == 0)
            return;
        pen.Heading("Decisions, oldest first", 11);
        foreach (var decision in piece.Decisions)
        {
            var use = piece.Verdicts.FirstOrDefault(v => v.RuleBook == decision.RuleBook)?.Use ?? "another use";
            var by = decision.DecidedBy == DecidedBy.Rule ? $"by rule ({decision.Person})" : $"by {decision.Person}, the rule said {TradeWords.Outcome(decision.ByRule)}";
            var reason = decision.Reason is { Length: > 0 } why ? $": {why.TrimEnd('.')}." : ".";
            pen.Text(
            [
                new($"{DeliveryWords.Time(decision.AtUtc)}: "), new($"{TradeWords.Outcome(decision.Verdict)} for {use}", Bold: true), new($" {by}{reason}"),
                new(decision.Override ? " OVERRIDE." : "", Bold: true), new(decision.SupersededBy is null ? "" : " Superseded.", Color: PdfInk.Quiet),
            ], Small, 0, 4);
        }
    }

    private static void Photos(PdfPen pen, PieceReport piece, Func<string, byte[]?> pictureOf)
    {
        if (piece.Findings.Photos.Count == 0)
            return;
        pen.NewPage();
        pen.Heading("Photos as measured", 11);
        pen.Skip(4);
        foreach (var pair in piece.Findings.Photos.Chunk(2))
        {
            pen.Need(PictureHeight + 26);
            for (var i = 0; i < pair.Length; i++)
            {
                var photo = pair[i];
                var left = PdfPen.Margin + (i * (CellWidth + Gap));
                var cell = SKRect.Create(left, pen.Y, CellWidth, PictureHeight);
                using var image = pictureOf(photo.Measurement.Id) is { } bytes ? EvidencePicture.From(bytes, photo.Measurement) : null;
                if (image is null)
                    PdfInk.Frame(pen.Canvas, cell, PdfInk.Rule, 0.6f);
                else
                    PdfInk.Image(pen.Canvas, image, cell);
                PdfInk.Words(pen.Canvas, Caption(photo), left, pen.Y + PictureHeight + 10, Small, bold: true);
                PdfInk.Words(pen.Canvas, $"SHA-256 {photo.Measurement.Photo.Sha256[..16]}\u2026", left, pen.Y + PictureHeight + 19, 6.5f, color: PdfInk.Quiet);
            }

            pen.Skip(PictureHeight + 26);
        }
    }

    private static string Caption(PlacedMeasurement photo) =>
        TradeWords.Sentence(SurfaceWords.From(photo.Place.Surface)) + (photo.Place.StationMm is { } at && photo.Place.View == View.Face && !photo.Place.WholeFace ? $", from {Figures.Station(at)}" : "");
}
