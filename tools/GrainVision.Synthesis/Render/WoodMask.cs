using GrainVision.Measuring.Surfaces;

namespace GrainVision.Synthesis;

/// <summary>Tells the classes of one pixel of the photographed surface while it is painted.</summary>
internal sealed class WoodMask(Scene scene, SurfaceFinish finish, Gloss gloss, ClassMask to)
{
    /// <summary>0.10 of full linear light added: from about there on the wood beneath a reflection fades.</summary>
    private const float SeenGlare = 0.10f;

    private readonly SurfaceFinish _toolMarks = finish.ToolMarks();
    private readonly double _halfX = scene.Size1Mm / 2;
    private readonly double _halfY = scene.Size2Mm / 2;
    private readonly bool _heartwood = scene.Look.SapwoodFromMm < 1e8 && scene.Look.HeartwoodStrength > 0.3;

    /// <param name="x">px.</param>
    /// <param name="y">px.</param>
    /// <param name="p">The same place on the wood.</param>
    /// <param name="heart">Strength of the heartwood's tint there.</param>
    /// <param name="shown">Bits of the features that show there.</param>
    public void Mark(int x, int y, in WoodPoint p, float heart, int shown)
    {
        // The rim's blocks are shaded beyond the wood and cut afterwards.
        if (Math.Abs(p.X) > _halfX || Math.Abs(p.Y) > _halfY)
            return;
        var bits = MarkClass.Wood.Bit() | shown;
        if (p.U < PithSpot.RadiusMm)
            bits |= MarkClass.Pith.Bit();
        if (finish.ShowsDirt(p.X, p.Y))
            bits |= MarkClass.Dirt.Bit();
        if (_toolMarks.ShowsMachining(p.X, p.Y, p.Pitch))
            bits |= MarkClass.Machining.Bit();
        if (gloss.At(x, y) > SeenGlare)
            bits |= MarkClass.Glare.Bit();
        if (_heartwood && heart < 0.5 * scene.Look.HeartwoodStrength)
            bits |= MarkClass.BrightSapwood.Bit();
        foreach (var indent in scene.Log.Indents)
        {
            if (indent.At(p.Qx, p.Qy, p.U) > 0.3 * indent.DepthMm)
                bits |= MarkClass.IndentedRings.Bit();
        }

        to.Mark(x, y, bits);
    }
}
