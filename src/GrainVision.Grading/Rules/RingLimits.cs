namespace GrainVision.Grading.Rules;

/// <summary>Least rings per inch in any one inch of radius on either end (ANC-19 2.413): the worst inch governs, not the mean.</summary>
public sealed record RingsPerInchMinimum : Limit, ISpeciesLimit<LeastRings>
{
    public required IReadOnlyList<LeastRings> Species { get; init; }

    internal override IEnumerable<string> Problems() => Check.Species(Species);
}

/// <summary>Least rings per inch of one species.</summary>
public sealed record LeastRings : SpeciesValue
{
    /// <summary>Rings per inch.</summary>
    public required double Least { get; init; }

    internal override IEnumerable<string> Problems() => Check.Between(Least, 1, Check.MostRings, "least");
}

/// <summary>A span of rings per inch that is ordered: the worst inch not below it and the mean not above it.</summary>
public sealed record RingsPerInchRange : Limit, ISpeciesLimit<RingsRange>
{
    public required IReadOnlyList<RingsRange> Species { get; init; }

    internal override IEnumerable<string> Problems() => Check.Species(Species);
}

/// <summary>The span ordered of one species.</summary>
public sealed record RingsRange : SpeciesValue
{
    /// <summary>Rings per inch.</summary>
    public required double Least { get; init; }

    /// <summary>Rings per inch, over <see cref="Least"/>.</summary>
    public required double Most { get; init; }

    internal override IEnumerable<string> Problems() =>
        Check.Between(Least, 1, Check.MostRings, "least").Concat(Check.Between(Most, Least, Check.MostRings, "most"));
}

/// <summary>Edge-grained: growth rings at this angle or more to the wide face, over a share of the depth of both vertical faces.</summary>
public sealed record EdgeGrain : Limit
{
    /// <summary>Degrees, over 0 and up to 90.</summary>
    public required double LeastDeg { get; init; }

    /// <summary>Share of the depth that must be edge-grained, over 0.5 and up to 1.</summary>
    public required double ShareOfDepth { get; init; }

    internal override IEnumerable<string> Problems() =>
        Check.Between(LeastDeg, 1, 90, "leastDeg").Concat(Check.Between(ShareOfDepth, 0.5, 1, "shareOfDepth"));
}

/// <summary>Quarter-sawn where two conventions differ: sure from the stricter one on, out below the laxer one.</summary>
public sealed record QuarterSawn : Limit
{
    /// <summary>Degrees from which every convention says quarter-sawn.</summary>
    public required double SureFromDeg { get; init; }

    /// <summary>Degrees below which no convention does.</summary>
    public required double NeverBelowDeg { get; init; }

    internal override IEnumerable<string> Problems() =>
        Check.Between(NeverBelowDeg, 1, 90, "neverBelowDeg").Concat(Check.Between(SureFromDeg, NeverBelowDeg, 90, "sureFromDeg"));
}

/// <summary>The pith may not lie inside the section.</summary>
public sealed record BoxedPith : Limit
{
    internal override IEnumerable<string> Problems() => [];
}
