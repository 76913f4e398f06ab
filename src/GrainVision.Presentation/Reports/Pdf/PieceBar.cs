using GrainVision.Grading.Deliveries;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Pieces;
using GrainVision.Grading.Quantities;
using GrainVision.Presentation.Text;
using SkiaSharp;

namespace GrainVision.Presentation.Reports.Pdf;

/// <summary>A piece drawn along its length from end A to end B: clear lengths by use, blemishes, planned cuts.</summary>
internal sealed class PieceBar(PdfPen pen, PieceReport report, float labelWidth)
{
    private readonly double _lengthMm = Math.Max(1, report.Piece.LengthFt * Units.MmPerFoot);
    private readonly float _left = PdfPen.Margin + labelWidth;
    private readonly float _width = PdfPen.Width - labelWidth;

    private float At(double stationMm) => _left + (float)(Math.Clamp(stationMm / _lengthMm, 0, 1) * _width);

    /// <summary>One bar a use: hatched where something speaks against it, plain with its length where it is clear.</summary>
    public void ClearLengths(string ruleBook, string use)
    {
        const float height = 15;
        pen.Need(height + 4);
        PdfInk.Fitted(pen.Canvas, use, PdfPen.Margin, pen.Y + 2, 8, labelWidth - 6);
        var whole = SKRect.Create(_left, pen.Y, _width, height);
        using (var ground = new SKPaint { Color = SKColors.White })
            pen.Canvas.DrawRect(whole, ground);
        PdfInk.Hatch(pen.Canvas, whole, 4, crossed: true, PdfInk.Rule);
        foreach (var clear in report.ClearLengths.Where(c => c.RuleBook == ruleBook))
        {
            var part = new SKRect(At(clear.FromMm), pen.Y, At(clear.ToMm), pen.Y + height);
            using (var wood = new SKPaint { Color = PdfInk.Wood })
                pen.Canvas.DrawRect(part, wood);
            PdfInk.Frame(pen.Canvas, part, PdfInk.Text, 0.8f);
            Inside(part, $"{Figures.Number(clear.FromMm, 0)} to {Figures.Number(clear.ToMm, 0)} mm", 7.5f, whole: true);
        }

        PdfInk.Frame(pen.Canvas, whole, PdfInk.Text, 0.8f);
        pen.Skip(height + 4);
    }

    /// <summary>Stations in feet, and a numbered mark for every blemish whose station is known.</summary>
    public void Stations()
    {
        const float height = 22;
        pen.Need(height);
        using var line = new SKPaint { Color = PdfInk.Text, IsStroke = true, StrokeWidth = 0.8f, IsAntialias = true };
        pen.Canvas.DrawLine(_left, pen.Y + 2, _left + _width, pen.Y + 2, line);
        var feet = (int)Math.Floor(report.Piece.LengthFt);
        var step = feet > 12 ? 2 : 1;
        for (var foot = 0; foot <= feet; foot += step)
        {
            var x = At(foot * Units.MmPerFoot);
            pen.Canvas.DrawLine(x, pen.Y + 2, x, pen.Y + 6, line);
            PdfInk.Words(pen.Canvas, Figures.Whole(foot), x, pen.Y + 14, 7, align: SKTextAlign.Center, color: PdfInk.Quiet);
        }

        PdfInk.Words(pen.Canvas, "feet from end A", PdfPen.Margin, pen.Y + 12, 7, color: PdfInk.Quiet);
        pen.Skip(height - 4);
    }

    /// <summary>Blemishes as filled triangles with their kind's initial above the bar.</summary>
    public void Blemishes()
    {
        var marks = report.Findings.Blemishes.Where(b => b.StationMm is not null).ToList();
        if (marks.Count == 0)
            return;
        pen.Need(18);
        using var dark = new SKPaint { Color = PdfInk.Text, IsAntialias = true };
        PdfInk.Words(pen.Canvas, "blemishes", PdfPen.Margin, pen.Y + 12, 8);
        var lettered = float.MinValue;
        foreach (var blemish in marks.OrderBy(b => b.StationMm))
        {
            var x = At(blemish.StationMm!.Value);
            using var builder = new SKPathBuilder();
            builder.AddPoly([new(x - 3.5f, pen.Y + 9), new(x + 3.5f, pen.Y + 9), new(x, pen.Y + 15)], true);
            using var mark = builder.Detach();
            pen.Canvas.DrawPath(mark, dark);

            // Close together the letters would hide each other; the list above names them all.
            if (x - lettered < 7)
                continue;
            PdfInk.Words(pen.Canvas, BlemishWords.From(blemish.Kind)[..1].ToUpperInvariant(), x, pen.Y + 7.5f, 7, bold: true, SKTextAlign.Center);
            lettered = x;
        }

        pen.Skip(16);
    }

    /// <summary>Parts to be cut, named, on the wood of the piece.</summary>
    public void Cuts(string label, IReadOnlyList<PlannedCut> cuts)
    {
        const float height = 22;
        pen.Need(height + 5);
        PdfInk.Fitted(pen.Canvas, label, PdfPen.Margin, pen.Y + 5, 8.5f, labelWidth - 6, bold: true);
        var whole = SKRect.Create(_left, pen.Y, _width, height);
        PdfInk.Hatch(pen.Canvas, whole, 4, crossed: false, PdfInk.Rule);
        PdfInk.Frame(pen.Canvas, whole, PdfInk.Text, 0.8f);
        foreach (var cut in cuts)
        {
            var part = new SKRect(At(cut.FromMm), pen.Y, At(cut.ToMm), pen.Y + height);
            using (var wood = new SKPaint { Color = PdfInk.Wood })
                pen.Canvas.DrawRect(part, wood);
            PdfInk.Frame(pen.Canvas, part, PdfInk.Text, 1);
            var name = cut.CountSideBySide > 1 ? $"{Figures.Whole(cut.CountSideBySide)} \u00d7 {cut.Part}" : cut.Part;
            Inside(new SKRect(part.Left, part.Top, part.Right, part.MidY + 1), name, 7.5f);
            Inside(new SKRect(part.Left, part.MidY - 1, part.Right, part.Bottom), $"{Figures.Number(cut.FromMm, 0)}\u2013{Figures.Number(cut.ToMm, 0)} mm", 7);
        }

        pen.Skip(height + 4);
    }

    /// <summary>Words inside a part; with <paramref name="whole"/> none rather than words cut short.</summary>
    private void Inside(SKRect part, string words, float size, bool whole = false)
    {
        using var font = BundledFont.Create(size);
        if (part.Width < 14 || (whole && font.MeasureText(words) > part.Width - 4))
            return;
        var block = TextBlock.Wrap([new(words)], size, part.Width - 4, 1);
        block.Draw(pen.Canvas, part.Left + 2, part.MidY - (block.HeightPx / 2), PdfInk.Text);
    }
}
