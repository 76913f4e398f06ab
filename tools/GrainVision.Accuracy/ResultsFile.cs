namespace GrainVision.Accuracy;

/// <summary>Writes a table into a Markdown file between two comments that name it.</summary>
internal static class ResultsFile
{
    public static int Write(string path, string name, string table, TextWriter errors)
    {
        string begin = $"<!-- {name}:begin -->", end = $"<!-- {name}:end -->";
        var text = File.ReadAllText(path);
        var from = text.IndexOf(begin, StringComparison.Ordinal);
        var to = text.IndexOf(end, StringComparison.Ordinal);
        if (from < 0 || to < from)
        {
            errors.WriteLine($"{path} has no lines {begin} and {end}: put them where the table belongs.");
            return 2;
        }

        File.WriteAllText(path, text[..(from + begin.Length)] + "\n" + table + "\n" + text[to..]);
        return 0;
    }
}
