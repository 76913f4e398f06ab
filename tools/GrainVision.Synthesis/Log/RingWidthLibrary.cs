using System.Globalization;

namespace GrainVision.Synthesis;

/// <summary>
/// Measured ring-width series, mm, pith side first. Real trees: Schimek and Veblen (Rampart Range), Veblen (Routt National Forest),
/// Gennaretti (UQAT); CC BY 4.0, credit in fixtures/ring-widths/series.txt.
/// </summary>
internal static class RingWidthLibrary
{
    private static readonly Lazy<double[][]> Loaded = new(Load);

    public static IReadOnlyList<double[]> Series => Loaded.Value;

    private static double[][] Load()
    {
        using var stream = typeof(RingWidthLibrary).Assembly.GetManifestResourceStream("ring-widths")
            ?? throw new InvalidOperationException("The ring-width series are missing from the assembly.");
        using var reader = new StreamReader(stream);
        var series = new List<double[]>();
        while (reader.ReadLine() is { } line)
        {
            if (line.Length == 0 || line[0] == '#')
                continue;
            series.Add([.. line.Split(' ').Skip(2).Select(w => int.Parse(w, CultureInfo.InvariantCulture) / 100.0)]);
        }

        return [.. series];
    }
}
