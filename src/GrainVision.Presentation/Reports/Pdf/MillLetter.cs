using GrainVision.Grading.Deliveries;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Rules;
using GrainVision.Grading.Verdicts;
using GrainVision.Presentation.Text;
using SkiaSharp;

namespace GrainVision.Presentation.Reports.Pdf;

/// <summary>
/// A letter to the mill's sales clerk: the rejected pieces, the limit that each broke first, the number with its limit, and a picture that shows it. Two pages
/// for a dozen pieces.
/// </summary>
public static class MillLetter
{
    private const float Gap = 14;
    private const float CellWidth = (PdfPen.Width - Gap) / 2;

    /// <summary>112 points, 40 mm: three rows beside the head of the letter, four on a page without one.</summary>
    private const float PictureHeight = 112;

    private const float TextSize = 8.5f;

    /// <summary>Writes the letter.</summary>
    /// <param name="stream">Where to; left open.</param>
    /// <param name="report">The delivery as it stands.</param>
    /// <param name="books">The uses that it is judged for: their limits' sources.</param>
    /// <param name="annotatedPicture">The annotated picture of the measurement with this id; null where none is kept.</param>
    public static void Write(Stream stream, DeliveryReport report, IReadOnlyList<RuleBook> books, Func<string, byte[]?> annotatedPicture)
    {
        ArgumentNullException.ThrowIfNull(stream);
        ArgumentNullException.ThrowIfNull(report);
        ArgumentNullException.ThrowIfNull(books);
        ArgumentNullException.ThrowIfNull(annotatedPicture);
        PdfPaper.Write(stream, $"Rejected pieces: {DeliveryWords.Supplier(report.Delivery)}", report.MadeUtc, $"{DeliveryWords.Supplier(report.Delivery)}. {VerdictCautions.Short}", pen => Draw(pen, report, books, annotatedPicture));
    }

    private static void Draw(PdfPen pen, DeliveryReport report, IReadOnlyList<RuleBook> books, Func<string, byte[]?> pictureOf)
    {
        var notes = new Footnotes();
        var all = report.Pieces.Select(p => new Rejected(p, BrokenLimits.Of(p, books))).Where(r => r.Broken.Count > 0).ToList();
        var rejected = all.Where(r => r.IsForEveryUse).ToList();
        var partly = all.Where(r => !r.IsForEveryUse).ToList();
        pen.NewPage();
        pen.Text([new("Rejected pieces", Bold: true)], 20);
        pen.Text([new($"To {report.Delivery.Supplier}, your order {report.Delivery.OrderNumber}", Bold: true)], 11, mostLines: 2);
        pen.Text($"{DeliveryWords.Day(report.MadeUtc)}{(report.IsComplete ? "" : ". Photographs are still being measured: this is not the last word")}.");
        pen.Skip(5);
        pen.Text(Opening(report, rejected, partly));
        Grid(pen, rejected, notes, pictureOf);
        if (partly.Count > 0)
        {
            pen.Heading("Kept, but not for every use ordered", 11);
            foreach (var piece in partly)
            {
                foreach (var broken in piece.Broken)
                    pen.Text([new($"Piece {Figures.Whole(piece.Piece.Piece.Number)}, not as {string.Join(", ", broken.Uses)}: ", Bold: true), new(broken.Text + notes.Mark(broken.Source))], TextSize, 0, 4);
            }
        }

        if (all.Count > 0)
            notes.Draw(pen, "Where the limits are published");
        pen.Need(40);
        pen.Skip(26);
        Signature.Draw(pen, ["for the shop", "date"]);
    }

    private static string Opening(DeliveryReport report, IReadOnlyList<Rejected> rejected, IReadOnlyList<Rejected> partly)
    {
        var arrived = $"Of {Figures.Whole(report.Pieces.Count)} pieces, {DeliveryWords.BoardFeet(report.ArrivedBoardFeet)}, ";
        if (rejected.Count + partly.Count == 0)
            return arrived + "none is rejected.";
        var feet = DeliveryWords.BoardFeet(rejected.Sum(r => r.Piece.BoardFeet));
        var one = rejected.Count == 1;
        return arrived + (rejected.Count == 0 ? "none is rejected for every use ordered." : $"we cannot use {Figures.Whole(rejected.Count)}, {feet}: piece{(one ? "" : "s")} {DeliveryWords.Pieces(rejected.Select(r => r.Piece.Piece.Number))}. "
            + $"Below, for {(one ? "it" : "each")}, stands the first limit that it breaks, what was measured on it (in brackets the 95 % interval) and what is asked. Faces are numbered 1 to 4 going round; places are measured from end A.");
    }

    /// <summary>Two beside each other, each with its picture above its words.</summary>
    private static void Grid(PdfPen pen, IReadOnlyList<Rejected> pieces, Footnotes notes, Func<string, byte[]?> pictureOf)
    {
        pen.Skip(8);
        foreach (var pair in pieces.Chunk(2))
        {
            var words = pair.Select(p => TextBlock.Wrap(Words(p, notes), TextSize, CellWidth, 7)).ToList();
            pen.Need(PictureHeight + words.Max(w => w.HeightPx) + 14);
            for (var i = 0; i < pair.Length; i++)
            {
                var left = PdfPen.Margin + (i * (CellWidth + Gap));
                Picture(pen, pair[i], pictureOf, SKRect.Create(left, pen.Y, CellWidth, PictureHeight));
                words[i].Draw(pen.Canvas, left, pen.Y + PictureHeight + 3, PdfInk.Text);
            }

            pen.Skip(PictureHeight + words.Max(w => w.HeightPx) + 12);
        }
    }

    private static List<TextRun> Words(Rejected rejected, Footnotes notes)
    {
        var piece = rejected.Piece;
        List<TextRun> runs = [new($"Piece {Figures.Whole(piece.Piece.Number)} ", Bold: true), new($"{DeliveryWords.Size(piece.Piece)}, {DeliveryWords.BoardFeet(piece.BoardFeet)}. ", Color: PdfInk.Quiet)];
        foreach (var broken in rejected.Broken)
        {
            if (rejected.Broken.Count > 1)
                runs.Add(new($"As {string.Join(", ", broken.Uses)}: ", Bold: true));
            runs.Add(new(broken.Text + notes.Mark(broken.Source) + " "));
        }

        return runs;
    }

    private static void Picture(PdfPen pen, Rejected rejected, Func<string, byte[]?> pictureOf, SKRect cell)
    {
        var broken = rejected.Broken[0];
        using var image = broken.Photo is { } photo && pictureOf(photo.Measurement.Id) is { } bytes ? EvidencePicture.From(bytes, photo.Measurement, broken.At) : null;
        if (image is null)
        {
            PdfInk.Frame(pen.Canvas, cell, PdfInk.Rule, 0.6f);
            PdfInk.Words(pen.Canvas, "no photo shows it", cell.MidX, cell.MidY, 8, align: SKTextAlign.Center, color: PdfInk.Quiet);
            return;
        }

        PdfInk.Image(pen.Canvas, image, cell);
    }

    private sealed record Rejected(PieceReport Piece, IReadOnlyList<BrokenLimit> Broken)
    {
        public bool IsForEveryUse => Piece.Standing.All(s => s.Outcome == VerdictOutcome.Reject);
    }
}
