namespace GrainVision.Synthesis;

/// <summary>A lamp's soft reflection on whatever shines: planed wood a little, steel a lot, cloth not at all.</summary>
internal sealed class Gloss
{
    private readonly double strength;
    private readonly double x;
    private readonly double y;
    private readonly double radius;

    public Gloss(Optics optics, Camera camera, double share)
    {
        strength = optics.Glare * share;
        x = optics.GlareAt.X * camera.WidthPx;
        y = optics.GlareAt.Y * camera.HeightPx;
        radius = optics.GlareSize * camera.WidthPx;
    }

    /// <summary>Does it reach this block at all?</summary>
    public bool Reaches(Block block) => strength > 0 && Math.Abs(block.X0 - x) < 3 * radius && Math.Abs(block.Y0 - y) < 3 * radius;

    /// <summary>Linear light added at a pixel.</summary>
    public float At(int px, int py)
    {
        var dx = (px - x) / radius;
        var dy = (py - y) / (radius * 0.7);
        return (float)(strength * Math.Exp(-((dx * dx) + (dy * dy))));
    }
}
