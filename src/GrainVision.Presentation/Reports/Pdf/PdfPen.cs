using GrainVision.Presentation.Text;
using SkiaSharp;

namespace GrainVision.Presentation.Reports.Pdf;

/// <summary>Writes down the page and starts the next one where the room ends. Lengths in points, 1/72 in. Owns the document: dispose it.</summary>
internal sealed class PdfPen : IDisposable
{
    /// <summary>A4, 595 x 842 points (ISO 216); printers fit it on Letter.</summary>
    public const float PageWidth = 595.28f;

    public const float PageHeight = 841.89f;

    /// <summary>40 points, 14 mm: a binder's holes and the border that printers cannot print on.</summary>
    public const float Margin = 40;

    public const float Width = PageWidth - (2 * Margin);

    /// <summary>9 points: the least that reads at arm's length in print and without zooming twice on a phone.</summary>
    public const float Body = 9;

    private const float Bottom = PageHeight - Margin - 12;

    private readonly SKDocument _document;
    private readonly string _footer;
    private SKCanvas? _canvas;
    private int _page;

    public PdfPen(SKDocument document, string footer)
    {
        _document = document;
        _footer = footer;
    }

    public SKCanvas Canvas => _canvas ?? throw new InvalidOperationException("No page was started.");

    /// <summary>Where the next thing goes.</summary>
    public float Y { get; private set; }

    public float Left => Bottom - Y;

    public void NewPage()
    {
        EndPage();
        _canvas = _document.BeginPage(PageWidth, PageHeight);
        _page++;
        Y = Margin;
        using var font = BundledFont.Create(7.5f);
        using var grey = new SKPaint { Color = PdfInk.Quiet, IsAntialias = true };
        _canvas.DrawText(TextBlock.Clean(_footer), Margin, PageHeight - Margin + 8, SKTextAlign.Left, font, grey);
        _canvas.DrawText($"page {Figures.Whole(_page)}", PageWidth - Margin, PageHeight - Margin + 8, SKTextAlign.Right, font, grey);
    }

    /// <summary>Starts a new page unless this much room is left.</summary>
    public void Need(float height)
    {
        if (Left < height)
            NewPage();
    }

    public void Skip(float height) => Y += height;

    public void Heading(string text, float size = 12)
    {
        Need(size * 4);
        Y += size * 0.5f;
        Text([new(text, Bold: true)], size);
        Y += size * 0.15f;
    }

    public void Text(string text, float indent = 0, float size = Body) => Text([new(text)], size, indent);

    /// <summary>Words over the width from <paramref name="indent"/>; keeps a block of up to ten lines together, longer ones are cut there with "…".</summary>
    public void Text(IReadOnlyList<TextRun> runs, float size = Body, float indent = 0, int mostLines = 10)
    {
        var block = TextBlock.Wrap(runs, size, Width - indent, mostLines);
        Need(block.HeightPx);
        block.Draw(Canvas, Margin + indent, Y, PdfInk.Text);
        Y += block.HeightPx;
    }

    public void EndPage()
    {
        if (_canvas is null)
            return;
        _document.EndPage();
        _canvas = null;
    }

    public void Dispose()
    {
        EndPage();
        _document.Close();
    }
}
