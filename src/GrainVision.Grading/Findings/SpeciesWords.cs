namespace GrainVision.Grading.Findings;

/// <summary>Species as the trade writes them: "Sitka spruce", "Douglas-fir, class N", "white ash".</summary>
public static class SpeciesWords
{
    /// <summary>Written with capitals in the middle of a sentence; Douglas-fir, no fir, keeps its hyphen (USDA Wood Handbook FPL-GTR-190, ch. 2).</summary>
    private static readonly Dictionary<string, string> Written = new(StringComparer.Ordinal)
    {
        ["sitka-spruce"] = "Sitka spruce",
        ["douglas-fir"] = "Douglas-fir",
        ["douglas-fir-class-n"] = "Douglas-fir, class N",
        ["douglas-fir-class-l"] = "Douglas-fir, class L",
        ["port-orford-cedar"] = "Port Orford cedar",
        ["port-orford-white-cedar"] = "Port Orford white cedar",
        ["engelmann-spruce"] = "Engelmann spruce",
        ["alaska-cedar"] = "Alaska cedar",
    };

    /// <param name="kebab">The contract's name, such as <c>sitka-spruce</c>; what is no such name is given back as it is.</param>
    public static string From(string kebab)
    {
        ArgumentNullException.ThrowIfNull(kebab);
        return Written.TryGetValue(kebab, out var written) ? written : kebab.Replace('-', ' ');
    }
}
