using System.Globalization;
using System.Text;

namespace GrainVision.Presentation.Reports.Tables;

/// <summary>
/// Rows of one width as RFC 4180 text: every cell of words quoted, quotes doubled, CRLF after every row, the last one too.
/// </summary>
/// <remarks>
/// A spreadsheet runs what looks like a formula. Words that begin with = + - @, tab, carriage return or line feed, or with the full-width forms of
/// these signs, get an apostrophe in front (the usual advice against CSV injection); line breaks and control characters inside become spaces.
/// Numbers are written by this program, bare and with a point.
/// </remarks>
internal sealed class CsvTable
{
    private const string Dangerous = "=+-@\t\r\n\uFF1D\uFF0B\uFF0D\uFF20";

    private readonly StringBuilder _text = new();
    private readonly IReadOnlyList<string> _columns;

    public CsvTable(IReadOnlyList<string> columns)
    {
        _columns = columns;
        Row([.. columns]);
    }

    /// <summary>Adds a row; one of another width than the columns is a bug.</summary>
    public void Row(IReadOnlyList<object?> cells)
    {
        if (cells.Count != _columns.Count)
            throw new ArgumentException($"{cells.Count} cells for {_columns.Count} columns.", nameof(cells));
        _text.AppendJoin(',', cells.Select(Cell)).Append("\r\n");
    }

    /// <summary>
    /// UTF-8 with a byte-order mark: without it the commonest spreadsheet takes the file for an 8-bit code page and spoils "×" and "°"; strict parsers
    /// take it for what it is.
    /// </summary>
    public byte[] ToUtf8() => [.. Encoding.UTF8.Preamble, .. Encoding.UTF8.GetBytes(_text.ToString())];

    private static string Cell(object? value) => value switch
    {
        null => "",
        double d => double.IsFinite(d) ? Math.Round(d, 6).ToString("0.######", CultureInfo.InvariantCulture) : "",
        int i => i.ToString(CultureInfo.InvariantCulture),
        string s => Words(s),
        _ => throw new ArgumentException($"A cell holds words or a number, not a {value.GetType().Name}.", nameof(value)),
    };

    private static string Words(string value)
    {
        var lead = value.Length > 0 && Dangerous.Contains(value.TrimStart(' ').FirstOrDefault(value[0])) ? "'" : "";
        var clean = string.Concat(value.Select(c => char.IsControl(c) ? ' ' : c));
        return $"\"{lead}{clean.Replace("\"", "\"\"", StringComparison.Ordinal)}\"";
    }
}
