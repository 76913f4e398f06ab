namespace GrainVision.Measuring.Blemishes;

/// <summary>
/// How a candidate stands out among all candidates of its surface: saw marks, ring lines and the wood's own texture come in many
/// alike, a blemish alone. From the other features only.
/// </summary>
internal static class ContextFeatures
{
    public static IReadOnlyList<string> Names { get; } =
        ["count", "alike", "rank-dark", "rank-colour", "rank-diameter", "rank-force", "dark-over-others", "colour-over-others", "floor-over-others"];

    private static readonly int Longest = At("longest"), Diameter = At("diameter"), Turn = At("turn-to-grain"), Peak = At("dark-peak"),
        Mean = At("dark"), Colour = At("colour"), Floor = At("below-floor");

    /// <summary>Each row with its context behind it.</summary>
    /// <param name="rows">All candidates of one surface, in the order of <see cref="BlemishFeatures.OwnNames"/>.</param>
    public static IReadOnlyList<float[]> Append(IReadOnlyList<float[]> rows)
    {
        if (rows.Count == 0)
            return rows;
        var (dark, colour, floor) = (Sorted(rows, Peak), Sorted(rows, Colour), Sorted(rows, Floor));
        var diameter = Sorted(rows, Diameter);
        var force = rows.Select(Force).Order().ToArray();
        return [.. rows.Select((r, i) => (float[])
        [
            .. r, MathF.Log(rows.Count), MathF.Log(1 + rows.Where((o, k) => k != i && Alike(r, o)).Count()),
            Rank(dark, r[Peak]), Rank(colour, r[Colour]), Rank(diameter, r[Diameter]), Rank(force, Force(r)),
            r[Peak] - dark[dark.Length / 2], r[Colour] - colour[colour.Length / 2], r[Floor] - floor[floor.Length / 2],
        ])];
    }

    /// <summary>Half again as long or as dark at most, and lying the same way to the grain.</summary>
    private static bool Alike(float[] a, float[] b) =>
        Math.Abs(a[Longest] - b[Longest]) < 0.4f && Math.Abs(a[Turn] - b[Turn]) < 0.3f
        && Math.Abs(a[Peak] - b[Peak]) < 0.25f * (1 + Math.Abs(a[Peak])) && Math.Abs(a[Colour] - b[Colour]) < 0.25f * (1 + a[Colour]);

    /// <summary>Contrast times size, as a logarithm: the longest and darkest mark draws the eye.</summary>
    private static float Force(float[] r) => r[Longest] + MathF.Log(Math.Max(0.1f, Math.Max(r[Mean], r[Colour])));

    private static float[] Sorted(IReadOnlyList<float[]> rows, int k) => [.. rows.Select(r => r[k]).Order()];

    /// <summary>Number of candidates above it, as a logarithm: 0 is the greatest of all.</summary>
    private static float Rank(float[] sorted, float value) => MathF.Log(1 + sorted.Count(v => v > value));

    private static int At(string name) => BlemishFeatures.OwnNames.Index().First(n => n.Item == name).Index;
}
