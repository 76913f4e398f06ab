namespace GrainVision.Grading.Rules;

/// <summary>A limit that the slope of grain answers.</summary>
public interface ISlopeLimit;

/// <summary>Steepest slope of grain, the slopes on two adjacent faces combined.</summary>
public sealed record SlopeOfGrain : Limit, ISlopeLimit, ISpeciesLimit<SteepestSlope>
{
    public required IReadOnlyList<SteepestSlope> Species { get; init; }

    /// <summary>
    /// N from which one face alone is flat enough that the adjacent one, no steeper, cannot break the limit: at least the
    /// square root of 2 times every species' N.
    /// </summary>
    public required double NoCombinedCheckFromOneIn { get; init; }

    internal override IEnumerable<string> Problems() => Check.Species(Species)
        .Concat(Check.CombinedFrom(NoCombinedCheckFromOneIn, Species.Select(s => s?.SteepestOneIn ?? 0).DefaultIfEmpty().Max()));
}

/// <summary>Steepest slope of one species.</summary>
public sealed record SteepestSlope : SpeciesValue
{
    /// <summary>N of 1 in N.</summary>
    public required double SteepestOneIn { get; init; }

    internal override IEnumerable<string> Problems() => Check.Between(SteepestOneIn, 1, Check.FlattestOneIn, "steepestOneIn");
}

/// <summary>An outer part of a face's width.</summary>
public enum OuterPart
{
    /// <summary>Outer eighth of the depth of a spar.</summary>
    OuterEighth,

    /// <summary>Outer quarter of a small part.</summary>
    OuterQuarter,
}

/// <summary>Steepest slope of grain in the outer part of a face, whatever the species.</summary>
public sealed record SlopeOuterPart : Limit, ISlopeLimit
{
    public required OuterPart Part { get; init; }

    /// <summary>N of 1 in N.</summary>
    public required double SteepestOneIn { get; init; }

    /// <summary>As in <see cref="SlopeOfGrain.NoCombinedCheckFromOneIn"/>.</summary>
    public required double NoCombinedCheckFromOneIn { get; init; }

    internal override IEnumerable<string> Problems() => Check.Between(SteepestOneIn, 1, Check.FlattestOneIn, "steepestOneIn")
        .Concat(Check.CombinedFrom(NoCombinedCheckFromOneIn, SteepestOneIn));
}

/// <summary>
/// Steepest slope that the middle half of a spar's depth may have. It never lets through what <see cref="SlopeOfGrain"/> of
/// the same book stops: both are judged and the graver one governs.
/// </summary>
public sealed record SlopeMiddleHalf : Limit, ISlopeLimit
{
    /// <summary>N of 1 in N.</summary>
    public required double SteepestOneIn { get; init; }

    internal override IEnumerable<string> Problems() => Check.Between(SteepestOneIn, 1, Check.FlattestOneIn, "steepestOneIn");
}
