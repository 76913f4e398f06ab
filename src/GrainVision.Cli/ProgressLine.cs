namespace GrainVision.Cli;

/// <summary>One line of progress on a terminal; a line now and then where the output goes to a file.</summary>
internal sealed class ProgressLine(TextWriter to)
{
    /// <summary>24 characters of bar: fits a phone's terminal with the words.</summary>
    private const int Width = 24;

    private readonly bool _terminal = !Console.IsErrorRedirected;
    private int _shown = -1;
    private string _said = "";

    public void Show(string what, int done, int all)
    {
        var part = all == 0 ? Width : Width * done / all;
        if (_terminal)
            to.Write($"\r{what} [{new string('#', part)}{new string('.', Width - part)}] {done}/{all}   ");
        else if (part != _shown)
            to.WriteLine($"{what} {done}/{all}");
        (_shown, _said) = (part, "");
    }

    /// <summary>Something that holds the work up; said once.</summary>
    public void Say(string words)
    {
        if (words == _said)
            return;
        to.WriteLine(_terminal ? "\r" + words : words);
        _said = words;
    }

    public void Clear()
    {
        if (_terminal)
            to.WriteLine();
    }
}
