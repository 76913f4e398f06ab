namespace GrainVision.Synthesis;

/// <summary>Several small knots close together: one blemish (ANC-19 2.4201).</summary>
internal sealed class PinKnots : Feature
{
    public required IReadOnlyList<KnotFeature> Members { get; init; }

    public override float Level(in WoodPoint p)
    {
        var most = float.MinValue;
        foreach (var m in Members)
            most = Math.Max(most, m.Level(p));
        return most;
    }

    public override void Paint(in WoodPoint p, float level, ref Light light)
    {
        foreach (var m in Members)
            m.Paint(p, m.Level(p), ref light);
    }
}

/// <summary>The pith where the surface cuts it: the wood itself paints it, this only tells where.</summary>
internal sealed class PithSpot : Feature
{
    /// <summary>1.3 mm: the radius at which the wood paints it.</summary>
    public const float RadiusMm = 1.3f;

    public override float Level(in WoodPoint p) => RadiusMm - p.U;

    public override void Paint(in WoodPoint p, float level, ref Light light)
    {
    }
}
