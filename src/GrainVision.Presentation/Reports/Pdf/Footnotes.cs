using GrainVision.Presentation.Text;

namespace GrainVision.Presentation.Reports.Pdf;

/// <summary>Sources of limits, each once on the paper, numbered as they come up.</summary>
internal sealed class Footnotes
{
    private readonly List<string> _sources = [];

    /// <summary>" [3]", or nothing where there is no source.</summary>
    public string Mark(string source)
    {
        if (source.Length == 0)
            return "";
        if (!_sources.Contains(source))
            _sources.Add(source);
        return $" [{Figures.Whole(_sources.IndexOf(source) + 1)}]";
    }

    public void Draw(PdfPen pen, string title)
    {
        if (_sources.Count == 0)
            return;
        pen.Heading(title, 9);
        for (var i = 0; i < _sources.Count; i++)
            pen.Text([new($"[{Figures.Whole(i + 1)}] ", Color: PdfInk.Quiet), new(TradeWords.Sentence(_sources[i]) + ".", Color: PdfInk.Quiet)], 7, 0, 3);
    }
}
