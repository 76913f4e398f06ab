using GrainVision.Grading.Findings;

namespace GrainVision.Grading.Rules;

/// <summary>A limit on blemishes of certain kinds.</summary>
public interface IBlemishLimit
{
    /// <summary>Kinds that this limit speaks of.</summary>
    bool Covers(BlemishKind kind);
}

/// <summary>A sound hard knot in a beam: how large, where, and how far from the next blemish.</summary>
public sealed record KnotInBeam : Limit, IBlemishLimit
{
    /// <summary>Inches.</summary>
    public required double LargestDiameterIn { get; init; }

    /// <summary>Inches; above it "use with caution".</summary>
    public required double CautionAboveIn { get; init; }

    /// <summary>Share of the face's width, about its middle, in which the whole knot must lie.</summary>
    public required double MiddleShare { get; init; }

    /// <summary>Inches along the piece, centre to centre, from a knot of the largest diameter to the next blemish; less in proportion to the diameter.</summary>
    public required double SpacingIn { get; init; }

    public bool Covers(BlemishKind kind) => kind == BlemishKind.Knot;

    /// <summary>Spacing that a knot of <paramref name="diameterIn"/> needs, in.</summary>
    public double SpacingInFor(double diameterIn) => SpacingIn * diameterIn / LargestDiameterIn;

    internal override IEnumerable<string> Problems() => Check.Inches(LargestDiameterIn, "largestDiameterIn")
        .Concat(Check.Inches(CautionAboveIn, "cautionAboveIn"))
        .Concat(Check.Inches(SpacingIn, "spacingIn"))
        .Concat(Check.Share(MiddleShare, "middleShare"));
}

/// <summary>A knot in a cap strip, stiffener or longeron: only in the middle of a flat-sawn face, and small against it.</summary>
public sealed record KnotInSmallPart : Limit, IBlemishLimit
{
    /// <summary>Diameter over the face's width.</summary>
    public required double LargestShareOfWidth { get; init; }

    /// <summary>Share of the face's width, about its middle, in which the whole knot must lie.</summary>
    public required double MiddleShare { get; init; }

    /// <summary>Inches: a single knot under this is ignored (ANC-19 2.4201); null where every knot counts.</summary>
    public double? IgnoredBelowIn { get; init; }

    public bool Covers(BlemishKind kind) => kind == BlemishKind.Knot;

    internal override IEnumerable<string> Problems() => Check.Share(LargestShareOfWidth, "largestShareOfWidth")
        .Concat(Check.Share(MiddleShare, "middleShare"))
        .Concat(IgnoredBelowIn is { } inches ? Check.Inches(inches, "ignoredBelowIn") : []);
}

/// <summary>Steepest slope of grain at the edge of the face beside a knot that is otherwise permitted.</summary>
public sealed record GrainBesideKnot : Limit
{
    /// <summary>N of 1 in N.</summary>
    public required double SteepestOneIn { get; init; }

    /// <summary>As in <see cref="SlopeOfGrain.NoCombinedCheckFromOneIn"/>.</summary>
    public required double NoCombinedCheckFromOneIn { get; init; }

    internal override IEnumerable<string> Problems() => Check.Between(SteepestOneIn, 1, Check.FlattestOneIn, "steepestOneIn")
        .Concat(Check.CombinedFrom(NoCombinedCheckFromOneIn, SteepestOneIn));
}

/// <summary>A pitch pocket in a beam by fixed sizes.</summary>
public sealed record PitchPocketInBeam : Limit, IBlemishLimit
{
    /// <summary>Inches along the piece.</summary>
    public required double LongestIn { get; init; }

    /// <summary>Inches across.</summary>
    public required double WidestIn { get; init; }

    /// <summary>Inches deep; no photo shows it.</summary>
    public required double DeepestIn { get; init; }

    /// <summary>Inches to the next pocket in the same growth ring.</summary>
    public required double ApartIn { get; init; }

    public bool Covers(BlemishKind kind) => kind == BlemishKind.PitchPocket;

    internal override IEnumerable<string> Problems() => Check.Inches(LongestIn, "longestIn")
        .Concat(Check.Inches(WidestIn, "widestIn"))
        .Concat(Check.Inches(DeepestIn, "deepestIn"))
        .Concat(Check.Inches(ApartIn, "apartIn"));
}

/// <summary>A pitch pocket in a solid spar by its distance from the corner and from other pockets.</summary>
public sealed record PitchPocketInSolidSpar : Limit, IBlemishLimit
{
    /// <summary>Inches; never longer.</summary>
    public required double LongestIn { get; init; }

    /// <summary>Longest length over the distance from the corner.</summary>
    public required double LengthPerEdgeDistance { get; init; }

    /// <summary>Spacing over the length of the shorter of two pockets.</summary>
    public required double ApartPerShorter { get; init; }

    /// <summary>Spacing over the length of the longer, where both lie in one growth layer.</summary>
    public required double ApartPerLongerInOneLayer { get; init; }

    public bool Covers(BlemishKind kind) => kind == BlemishKind.PitchPocket;

    internal override IEnumerable<string> Problems() => Check.Inches(LongestIn, "longestIn")
        .Concat(Check.Inches(LengthPerEdgeDistance, "lengthPerEdgeDistance"))
        .Concat(Check.Inches(ApartPerShorter, "apartPerShorter"))
        .Concat(Check.Inches(ApartPerLongerInOneLayer, "apartPerLongerInOneLayer"));
}

/// <summary>A pitch pocket in a small part.</summary>
public sealed record PitchPocketInSmallPart : Limit, IBlemishLimit
{
    /// <summary>Inches: none at all where either dimension of the part is less.</summary>
    public required double NoneBelowIn { get; init; }

    /// <summary>Depth over the part's dimension; no photo shows it.</summary>
    public required double DepthShare { get; init; }

    /// <summary>Width over the face's width.</summary>
    public required double WidthShare { get; init; }

    /// <summary>Inches; never longer.</summary>
    public required double LongestIn { get; init; }

    /// <summary>Longest length over the distance from the edge.</summary>
    public required double LengthPerEdgeDistance { get; init; }

    public bool Covers(BlemishKind kind) => kind == BlemishKind.PitchPocket;

    internal override IEnumerable<string> Problems() => Check.Inches(NoneBelowIn, "noneBelowIn")
        .Concat(Check.Share(DepthShare, "depthShare"))
        .Concat(Check.Share(WidthShare, "widthShare"))
        .Concat(Check.Inches(LongestIn, "longestIn"))
        .Concat(Check.Inches(LengthPerEdgeDistance, "lengthPerEdgeDistance"));
}

/// <summary>Kinds that are never allowed, however small.</summary>
public sealed record NeverAllowed : Limit, IBlemishLimit
{
    public required IReadOnlyList<BlemishKind> Blemishes { get; init; }

    public bool Covers(BlemishKind kind) => Blemishes.Contains(kind);

    internal override IEnumerable<string> Problems() => Check.Kinds(Blemishes);
}

/// <summary>Kinds that a photo cannot settle: always a hold.</summary>
public sealed record LookByHand : Limit, IBlemishLimit
{
    public required IReadOnlyList<BlemishKind> Blemishes { get; init; }

    /// <summary>What a person does to settle it.</summary>
    public required string HandCheck { get; init; }

    public bool Covers(BlemishKind kind) => Blemishes.Contains(kind);

    internal override IEnumerable<string> Problems() => Check.Kinds(Blemishes).Concat(Check.Words(HandCheck, "handCheck"));
}
