using System.Globalization;
using System.Text.RegularExpressions;
using GrainVision.Grading.Findings;

namespace GrainVision.Grading.Rules;

/// <summary>Ranges that a rule book's numbers must keep to. They catch slips of the pen, not bad judgement.</summary>
internal static partial class Check
{
    /// <summary>200: no wood of use has more rings per inch (0.13 mm a ring).</summary>
    internal const double MostRings = 200;

    /// <summary>1000: 1 in 1000 is flatter than anyone can measure.</summary>
    internal const double FlattestOneIn = 1000;

    /// <summary>100 in, or 100 times: far beyond any blemish limit.</summary>
    private const double MostInches = 100;

    /// <summary>1e-6: so much may the rounding of a decimal figure take from N times root 2.</summary>
    private const double Rounding = 1e-6;

    internal static bool IsKebab(string? text) => text is not null && Kebab().IsMatch(text);

    internal static IEnumerable<string> Between(double value, double least, double greatest, string name)
    {
        if (!(value >= least && value <= greatest))
            yield return string.Create(CultureInfo.InvariantCulture, $"{name} must be from {least} to {greatest}");
    }

    internal static IEnumerable<string> Inches(double value, string name)
    {
        if (!(value > 0 && value <= MostInches))
            yield return string.Create(CultureInfo.InvariantCulture, $"{name} must be over 0 and at most {MostInches}");
    }

    internal static IEnumerable<string> Share(double value, string name)
    {
        if (!(value > 0 && value <= 1))
            yield return $"{name} must be over 0 and at most 1";
    }

    internal static IEnumerable<string> Words(string? text, string name)
    {
        if (string.IsNullOrWhiteSpace(text))
            yield return $"{name} must not be empty";
    }

    internal static IEnumerable<string> Kinds(IReadOnlyList<BlemishKind> kinds)
    {
        if (kinds.Count == 0 || !kinds.All(Enum.IsDefined))
            yield return "blemishes names at least one kind of blemish";
    }

    internal static IEnumerable<string> CombinedFrom(double oneIn, double steepestOneIn)
    {
        if (!(oneIn >= (steepestOneIn * Math.Sqrt(2)) - Rounding && oneIn <= 2 * FlattestOneIn))
            yield return "noCombinedCheckFromOneIn must be at least the square root of 2 times steepestOneIn";
    }

    /// <summary>An empty list is allowed: a limit of which no species has a published value.</summary>
    internal static IEnumerable<string> Species(IReadOnlyList<SpeciesValue> species)
    {
        foreach (var row in species)
        {
            if (row is null)
            {
                yield return "species holds a null";
                continue;
            }

            if (row.Names.Count == 0 || !row.Names.All(IsKebab))
                yield return "a species row has at least one name, in kebab case such as sitka-spruce";
            foreach (var problem in row.Problems())
                yield return problem;
        }
    }

    [GeneratedRegex("^[a-z][a-z0-9]*(-[a-z0-9]+)*$", RegexOptions.CultureInvariant)]
    private static partial Regex Kebab();
}
