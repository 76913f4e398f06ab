using GrainVision.Grading.Findings;

namespace GrainVision.Synthesis;

/// <summary>A place on the photographed surface, in the surface's and in the straightened log's coordinates, mm.</summary>
internal readonly record struct WoodPoint(float X, float Y, float Qx, float Qy, float U, float Z, float Pitch)
{
    /// <summary>Earlywood of this piece in this light: what a knot's own colour is mixed from.</summary>
    public Light Ground { get; init; }
}

/// <summary>Linear light of one pixel.</summary>
internal struct Light
{
    public float B;
    public float G;
    public float R;

    public void Fade(float amount, float b, float g, float r)
    {
        B += amount * (b - B);
        G += amount * (g - G);
        R += amount * (r - R);
    }

    public void Dim(float factor)
    {
        B *= factor;
        G *= factor;
        R *= factor;
    }
}

/// <summary>Something on or in the photographed surface: a blemish, or something that only looks like one.</summary>
internal abstract class Feature
{
    private int _classBit;

    /// <summary>What it is, where it is a blemish.</summary>
    public BlemishKind? Kind { get; init; }

    /// <summary>What it is, where it is no blemish: kebab-case.</summary>
    public string? Harmless { get; init; }

    /// <summary>Middle and half size of a box of the surface that holds it, halo included, mm.</summary>
    public required double CentreX { get; init; }

    public required double CentreY { get; init; }

    public required double ReachX { get; init; }

    public required double ReachY { get; init; }

    /// <summary>How much darker than its surroundings it is, 0 to 1, about.</summary>
    public double Contrast { get; init; } = 0.4;

    /// <summary>Positive inside; about the distance from the rim in mm.</summary>
    public abstract float Level(in WoodPoint p);

    /// <summary>Paints it, halo included, over the clear wood.</summary>
    public abstract void Paint(in WoodPoint p, float level, ref Light light);

    /// <summary>Does a person see it at this pixel? Says what goes into the mask.</summary>
    public virtual bool Shows(in WoodPoint p, float level) => level > -0.1f * p.Pitch;

    /// <summary>The bit of the class that it paints.</summary>
    public int ClassBit => _classBit != 0 ? _classBit : _classBit = PaintedClasses.Of(this).Bit();

    /// <summary>Share of a pixel inside a rim, from the level and the pixel's size.</summary>
    protected static float Cover(float level, float pitch) => Math.Clamp(0.5f + (level / pitch), 0, 1);
}
