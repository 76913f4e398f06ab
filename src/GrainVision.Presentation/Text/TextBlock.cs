using System.Globalization;
using System.Text;
using SkiaSharp;

namespace GrainVision.Presentation.Text;

/// <summary>A piece of text in one weight and colour.</summary>
internal sealed record TextRun(string Text, bool Bold = false, SKColor? Color = null);

/// <summary>
/// Text broken into lines of a given width. Breaks at spaces, and inside a word only where the word alone is too wide;
/// nothing is ever wider than the width. Beyond <c>mostLines</c> the last line ends in "…".
/// </summary>
internal sealed class TextBlock
{
    /// <summary>Height of a line in sizes of its text.</summary>
    public const float LineHeight = 1.32f;

    private readonly List<List<(TextRun Run, float X)>> _lines = [[]];
    private readonly float _sizePx;
    private float _x;

    private TextBlock(float sizePx) => _sizePx = sizePx;

    public float HeightPx => _lines.Count * _sizePx * LineHeight;

    public float WidthPx { get; private set; }

    public static TextBlock Wrap(IReadOnlyList<TextRun> runs, float sizePx, float widthPx, int mostLines)
    {
        var block = new TextBlock(sizePx);
        using var regular = BundledFont.Create(sizePx);
        using var bold = BundledFont.Create(sizePx, bold: true);
        foreach (var run in runs)
        {
            var font = run.Bold ? bold : regular;
            foreach (var word in Words(Clean(run.Text)))
            {
                if (!block.Add(run, word, font, widthPx, mostLines))
                    return block;
            }
        }

        return block;
    }

    public void Draw(SKCanvas canvas, float left, float top, SKColor color)
    {
        using var regular = BundledFont.Create(_sizePx);
        using var bold = BundledFont.Create(_sizePx, bold: true);
        using var paint = new SKPaint { IsAntialias = true };
        for (var i = 0; i < _lines.Count; i++)
        {
            // 0.98: baseline of the first line, so that ascenders stay inside the block.
            var baseline = top + (((i * LineHeight) + 0.98f) * _sizePx);
            foreach (var (run, at) in _lines[i])
            {
                paint.Color = run.Color ?? color;
                canvas.DrawText(run.Text, left + at, baseline, SKTextAlign.Left, run.Bold ? bold : regular, paint);
            }
        }
    }

    /// <summary>One line of text without anything that breaks lines or turns the reading direction.</summary>
    public static string Clean(string text)
    {
        var clean = new StringBuilder(text.Length);
        foreach (var rune in text.EnumerateRunes())
        {
            clean.Append(Rune.GetUnicodeCategory(rune) switch
            {
                UnicodeCategory.Control or UnicodeCategory.LineSeparator or UnicodeCategory.ParagraphSeparator => " ",
                UnicodeCategory.Format or UnicodeCategory.Surrogate => "",
                _ => rune.ToString(),
            });
        }

        return clean.ToString();
    }

    private bool Add(TextRun run, string word, SKFont font, float widthPx, int mostLines)
    {
        while (true)
        {
            if (_x + font.MeasureText(word.TrimEnd(' ')) <= widthPx)
            {
                Put(run with { Text = word }, font);
                return true;
            }

            if (_x > 0)
            {
                if (_lines.Count == mostLines)
                    return Cut(run, font, widthPx);
                NewLine();
                word = word.TrimStart(' ');
                continue;
            }

            // A word wider than the whole line: as much of it as fits, at least one character.
            var fits = Fitting(word, font, widthPx);
            Put(run with { Text = word[..fits] }, font);
            word = word[fits..];
            if (word.Length == 0)
                return true;
        }
    }

    private static int Fitting(string word, SKFont font, float widthPx)
    {
        var starts = StringInfo.ParseCombiningCharacters(word);
        int low = 1, high = starts.Length;
        while (low < high)
        {
            var middle = (low + high + 1) / 2;
            var end = middle < starts.Length ? starts[middle] : word.Length;
            (low, high) = font.MeasureText(word[..end]) <= widthPx ? (middle, high) : (low, middle - 1);
        }

        return low < starts.Length ? starts[low] : word.Length;
    }

    private void Put(TextRun run, SKFont font)
    {
        if (run.Text.Length == 0)
            return;
        _lines[^1].Add((run, _x));
        // The spaces that end a line are not seen and do not count.
        WidthPx = Math.Max(WidthPx, _x + font.MeasureText(run.Text.TrimEnd(' ')));
        _x += font.MeasureText(run.Text);
    }

    private void NewLine()
    {
        _lines.Add([]);
        _x = 0;
    }

    private bool Cut(TextRun run, SKFont font, float widthPx)
    {
        const string more = "…";
        var room = widthPx - font.MeasureText(more);
        var line = _lines[^1];
        while (line.Count > 0 && _x > room)
        {
            var (last, at) = line[^1];
            line.RemoveAt(line.Count - 1);
            _x = at;
            var kept = Fitting(last.Text, font, Math.Max(0, room - at));
            if (kept < last.Text.Length && at + font.MeasureText(last.Text[..kept]) <= room)
                Put(last with { Text = last.Text[..kept] }, font);
            if (_x <= room)
                break;
        }

        Put(run with { Text = more }, font);
        return false;
    }

    /// <summary>Words with the space that follows them.</summary>
    private static IEnumerable<string> Words(string text)
    {
        var start = 0;
        for (var i = 1; i <= text.Length; i++)
        {
            if (i == text.Length || (text[i - 1] == ' ' && text[i] != ' '))
            {
                yield return text[start..i];
                start = i;
            }
        }
    }
}
