using System.Text;

namespace GrainVision.Grading.Deliveries;

/// <summary>Rows of a table that a person sends: CSV (RFC 4180); commas, semicolons or tabs separate, whichever the first line holds.</summary>
internal static class CsvRows
{
    /// <summary>The rows with the line each starts at, blank ones left out; null where a quote stays open.</summary>
    /// <param name="csv">The text; a byte order mark is skipped.</param>
    /// <param name="most">Rows after which reading stops: one more than that is given.</param>
    public static List<(int Line, List<string> Values)>? Read(string csv, int most)
    {
        csv = csv.TrimStart('\uFEFF');
        var firstLine = csv.AsSpan(0, csv.IndexOfAny(['\r', '\n']) is >= 0 and var end ? end : csv.Length);
        var separator = firstLine.Contains(';') ? ';' : firstLine.Contains('\t') ? '\t' : ',';
        var rows = new List<(int, List<string>)>();
        var row = new List<string>();
        var value = new StringBuilder();
        var (quoted, line, rowLine) = (false, 1, 1);
        for (var i = 0; i <= csv.Length; i++)
        {
            var c = i < csv.Length ? csv[i] : '\n';
            if (quoted && i == csv.Length)
                return null;
            if (quoted && c == '"' && i + 1 < csv.Length && csv[i + 1] == '"')
                value.Append(csv[++i]);
            else if (c == '"' && (quoted || value.Length == 0))
                quoted = !quoted;
            else if (quoted)
                value.Append(c);
            else if (c == separator || c == '\n')
            {
                row.Add(value.ToString().TrimEnd('\r'));
                value.Clear();
                if (c == '\n')
                {
                    if (row.Count > 1 || row[0].Trim().Length > 0)
                        rows.Add((rowLine, row));
                    row = [];
                    rowLine = line + 1;
                    if (rows.Count > most)
                        return rows;
                }
            }
            else
                value.Append(c);
            if (c == '\n')
                line++;
        }

        return rows;
    }
}
