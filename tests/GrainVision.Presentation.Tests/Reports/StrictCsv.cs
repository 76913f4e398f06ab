using System.Text;

namespace GrainVision.Presentation.Tests.Reports;

/// <summary>RFC 4180 to the letter: anything its grammar does not allow throws.</summary>
internal static class StrictCsv
{
    public static List<IReadOnlyList<string>> Read(string text)
    {
        var rows = new List<IReadOnlyList<string>>();
        var row = new List<string>();
        var at = 0;
        while (at < text.Length)
        {
            row.Add(Field(text, ref at));
            if (text[at] == ',')
                at++;
            else if (text[at] == '\r' && text[at + 1] == '\n')
            {
                at += 2;
                rows.Add(row);
                row = [];
            }
            else
                throw new FormatException($"Neither comma nor CRLF at {at}.");
        }

        return row.Count == 0 ? rows : throw new FormatException("The last row is not ended.");
    }

    private static string Field(string text, ref int at)
    {
        var field = new StringBuilder();
        if (text[at] != '"')
        {
            while (text[at] is not (',' or '\r'))
                field.Append(text[at] is '"' or '\n' ? throw new FormatException($"A quote or line feed in a bare field at {at}.") : text[at++]);
            return field.ToString();
        }

        for (at++; ; at++)
        {
            if (text[at] != '"')
                field.Append(text[at]);
            else if (text[at + 1] == '"')
                field.Append(text[++at]);
            else
                break;
        }

        at++;
        return field.ToString();
    }
}
