namespace GrainVision.Synthesis;

/// <summary>A lens between two growth layers.</summary>
internal abstract class GrowthLens : Feature
{
    /// <summary>Where round the log, rad.</summary>
    public required double ThetaRad { get; init; }

    public required double U { get; init; }

    public required double Z { get; init; }

    /// <summary>Half length along the fibres, mm.</summary>
    public required double HalfLengthMm { get; init; }

    /// <summary>Half width round the log, mm.</summary>
    public required double HalfWidthMm { get; init; }

    /// <summary>Half thickness along the radius, mm.</summary>
    public required double HalfThickMm { get; init; }

    public sealed override float Level(in WoodPoint p)
    {
        var (sin, cos) = Math.SinCos(ThetaRad);
        if ((p.Qx * cos) + (p.Qy * sin) <= 0)
            return -1e3f;
        var s = ((p.Qy * cos) - (p.Qx * sin)) / HalfWidthMm;
        var along = (p.Z - Z) / HalfLengthMm;
        var room = 1 - (s * s) - (along * along);
        var thick = HalfThickMm * Math.Sign(room) * Math.Sqrt(Math.Abs(room));
        var level = thick + RaggedMm(p, (float)s) - Math.Abs(p.U - U);
        // Near the lens's tips the thickness falls steeply: the true distance is smaller.
        return (float)(room < 0 ? Math.Min(level, room * HalfWidthMm * 0.5) : level);
    }

    /// <summary>How far the rim strays there, mm.</summary>
    /// <param name="p">The place.</param>
    /// <param name="across">Its distance from the middle round the log, in half widths.</param>
    protected abstract double RaggedMm(in WoodPoint p, float across);
}
