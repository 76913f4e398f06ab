namespace GrainVision.Synthesis;

/// <summary>A lamp's soft reflection on whatever shines: planed wood a little, steel a lot, cloth not at all.</summary>
internal sealed class Gloss
{
    private readonly double _strength;
    private readonly double _x;
    private readonly double _y;
    private readonly double _radius;

    public Gloss(Optics optics, Camera camera, double share)
    {
        _strength = optics.Glare * share;
        _x = optics.GlareAt.X * camera.WidthPx;
        _y = optics.GlareAt.Y * camera.HeightPx;
        _radius = optics.GlareSize * camera.WidthPx;
    }

    /// <summary>Does it reach this block at all?</summary>
    public bool Reaches(Block block) => _strength > 0 && Math.Abs(block.X0 - _x) < 3 * _radius && Math.Abs(block.Y0 - _y) < 3 * _radius;

    /// <summary>Linear light added at a pixel.</summary>
    public float At(int px, int py)
    {
        var dx = (px - _x) / _radius;
        var dy = (py - _y) / (_radius * 0.7);
        return (float)(_strength * Math.Exp(-((dx * dx) + (dy * dy))));
    }
}
