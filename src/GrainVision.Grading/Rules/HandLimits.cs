using GrainVision.Grading.Findings;

namespace GrainVision.Grading.Rules;

/// <summary>Moisture content at fabrication: no photo shows it.</summary>
public sealed record MoistureRange : Limit
{
    /// <summary>% of the oven-dry weight.</summary>
    public required double LeastPercent { get; init; }

    /// <summary>% of the oven-dry weight.</summary>
    public required double MostPercent { get; init; }

    /// <summary>% above which decay is suspected; null where the book does not say.</summary>
    public double? SuspectDecayAbovePercent { get; init; }

    internal override IEnumerable<string> Problems() => Check.Between(LeastPercent, 0, 100, "leastPercent")
        .Concat(Check.Between(MostPercent, LeastPercent, 100, "mostPercent"))
        .Concat(Check.Between(SuspectDecayAbovePercent ?? MostPercent, MostPercent, 100, "suspectDecayAbovePercent"));
}

/// <summary>Least specific gravity, oven-dry weight and volume: no photo shows it.</summary>
public sealed record SpecificGravityMinimum : Limit, ISpeciesLimit<LeastGravity>
{
    public required IReadOnlyList<LeastGravity> Species { get; init; }

    internal override IEnumerable<string> Problems() => Check.Species(Species);
}

/// <summary>Least specific gravity of one species.</summary>
public sealed record LeastGravity : SpeciesValue
{
    public required double Least { get; init; }

    /// <summary>Where the class ends above, if it does.</summary>
    public double? Most { get; init; }

    internal override IEnumerable<string> Problems() =>
        Check.Between(Least, 0.05, 1.5, "least").Concat(Check.Between(Most ?? Least, Least, 1.5, "most"));
}

/// <summary>Something that only a person can check, said on the verdict of every photo of these views.</summary>
public sealed record HandCheckOnly : Limit
{
    /// <summary>Views whose verdicts carry it.</summary>
    public required IReadOnlyList<View> Views { get; init; }

    /// <summary>What to do.</summary>
    public required string HandCheck { get; init; }

    internal override IEnumerable<string> Problems()
    {
        if (Views.Count == 0 || !Views.All(Enum.IsDefined))
            yield return "views names end, face or both";
        foreach (var problem in Check.Words(HandCheck, "handCheck"))
            yield return problem;
    }
}
