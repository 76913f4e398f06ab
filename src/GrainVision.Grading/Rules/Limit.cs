using System.Text.Json.Serialization;

namespace GrainVision.Grading.Rules;

/// <summary>One requirement of a rule book with its source. What it is about follows from its <c>kind</c>.</summary>
[JsonPolymorphic(TypeDiscriminatorPropertyName = "kind", UnknownDerivedTypeHandling = JsonUnknownDerivedTypeHandling.FailSerialization)]
[JsonDerivedType(typeof(RingsPerInchMinimum), "ringsPerInchMinimum")]
[JsonDerivedType(typeof(RingsPerInchRange), "ringsPerInchRange")]
[JsonDerivedType(typeof(EdgeGrain), "edgeGrain")]
[JsonDerivedType(typeof(QuarterSawn), "quarterSawn")]
[JsonDerivedType(typeof(BoxedPith), "boxedPith")]
[JsonDerivedType(typeof(SlopeOfGrain), "slopeOfGrain")]
[JsonDerivedType(typeof(SlopeOuterPart), "slopeOuterPart")]
[JsonDerivedType(typeof(SlopeMiddleHalf), "slopeMiddleHalf")]
[JsonDerivedType(typeof(KnotInBeam), "knotInBeam")]
[JsonDerivedType(typeof(KnotInSmallPart), "knotInSmallPart")]
[JsonDerivedType(typeof(GrainBesideKnot), "grainBesideKnot")]
[JsonDerivedType(typeof(PitchPocketInBeam), "pitchPocketInBeam")]
[JsonDerivedType(typeof(PitchPocketInSolidSpar), "pitchPocketInSolidSpar")]
[JsonDerivedType(typeof(PitchPocketInSmallPart), "pitchPocketInSmallPart")]
[JsonDerivedType(typeof(NeverAllowed), "neverAllowed")]
[JsonDerivedType(typeof(LookByHand), "lookByHand")]
[JsonDerivedType(typeof(MoistureRange), "moistureRange")]
[JsonDerivedType(typeof(SpecificGravityMinimum), "specificGravityMinimum")]
[JsonDerivedType(typeof(HandCheckOnly), "handCheck")]
public abstract record Limit
{
    /// <summary>Kebab-case, unique in its book.</summary>
    public required string Id { get; init; }

    /// <summary>The requirement in one or two plain sentences.</summary>
    public required string Text { get; init; }

    /// <summary>Where it comes from; at least one.</summary>
    public required IReadOnlyList<LimitSource> Sources { get; init; }

    /// <summary>All sources in one line.</summary>
    [JsonIgnore]
    public string Source => string.Join("; ", Sources.Select(s => s.Cite()));

    /// <summary>The first and foremost source, short, for a line of text.</summary>
    [JsonIgnore]
    public string MainSource => (Sources[0] with { Note = null }).Cite();

    /// <summary>What is wrong with its numbers, in words; empty where all is well.</summary>
    internal abstract IEnumerable<string> Problems();
}

/// <summary>A limit that differs from species to species. A species that is not listed has no published limit.</summary>
public interface ISpeciesLimit<out T>
    where T : SpeciesValue
{
    IReadOnlyList<T> Species { get; }
}

/// <summary>One species' row of a limit.</summary>
public abstract record SpeciesValue
{
    /// <summary>
    /// Kebab-case common names that this row answers to. A name may stand in several rows (Douglas-fir without its class, a figure
    /// that the scan leaves open): then only what all of them agree on is decided.
    /// </summary>
    public required IReadOnlyList<string> Names { get; init; }

    /// <summary>Anything to know of this row.</summary>
    public string? Note { get; init; }

    internal abstract IEnumerable<string> Problems();
}
