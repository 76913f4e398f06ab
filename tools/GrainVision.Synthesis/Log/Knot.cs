namespace GrainVision.Synthesis;

/// <summary>
/// A branch inside the log: a cone from the pith (or from where a bud broke) outward, round which the fibres flow.
/// </summary>
public sealed record Knot
{
    /// <summary>Where round the log it grows, rad, in the straightened log.</summary>
    public required double ThetaRad { get; init; }

    /// <summary>Height at which its axis leaves the pith, mm.</summary>
    public required double Z { get; init; }

    /// <summary>How far the axis climbs per mm of radius.</summary>
    public double Rise { get; init; }

    /// <summary>Radius gained per mm of log radius.</summary>
    public required double RadiusPerMm { get; init; }

    /// <summary>Greatest radius, mm: the branch stopped growing.</summary>
    public required double GreatestRadiusMm { get; init; }

    /// <summary>Log radius at which it begins; 0 is the pith.</summary>
    public double FromMm { get; init; }

    /// <summary>Log radius at which the branch ended and was grown over; larger than the log for a branch alive at felling.</summary>
    public double ToMm { get; init; } = 1e9;

    /// <summary>Dead when it was grown round: bark about it, no bond.</summary>
    public bool Loose { get; init; }

    /// <summary>How far the rings are lifted about it, as a share of its radius.</summary>
    public double Bulge { get; init; } = 0.35;

    /// <summary>Radius of the branch at a log radius, mm; 0 where it is not.</summary>
    public double RadiusAt(double u)
    {
        if (u <= FromMm || u >= ToMm)
            return 0;
        var r = Math.Min(GreatestRadiusMm, 0.25 + (RadiusPerMm * (u - FromMm)));
        var left = (ToMm - u) / (1.5 * r);
        return left < 1 ? r * Math.Sqrt(left * (2 - left)) : r;
    }

    /// <summary>Radius that the grain still flows round: beyond a dead branch's end the swelling lives on for a while.</summary>
    internal double FlowRadiusAt(double u)
    {
        if (u <= FromMm)
            return 0;
        if (u < ToMm)
            return Math.Min(GreatestRadiusMm, 0.25 + (RadiusPerMm * (u - FromMm)));
        var r = Math.Min(GreatestRadiusMm, 0.25 + (RadiusPerMm * (ToMm - FromMm)));
        return r * Math.Exp(-(u - ToMm) / (2.5 * r));
    }

    /// <summary>Distance of a point of the straightened log from the axis, along (a) and round (s) the log, mm; false on the far side of the pith.</summary>
    internal bool Offset(double qx, double qy, double z, out double u, out double s, out double a)
    {
        var (sin, cos) = Math.SinCos(ThetaRad);
        s = (qy * cos) - (qx * sin);
        u = Math.Sqrt((qx * qx) + (qy * qy));
        a = z - Z - (Rise * u);
        return (qx * cos) + (qy * sin) > 0;
    }

    /// <summary>Moves a point of the straightened log to where it would lie had the branch not been there.</summary>
    internal void Flow(ref double qx, ref double qy, double z)
    {
        if (!Offset(qx, qy, z, out var u, out var s, out var a))
            return;
        var radius = FlowRadiusAt(u);
        var r2 = (s * s) + (a * a);
        if (radius < 0.05 || r2 > 30 * radius * radius)
            return;
        // Flow of a stream round a cylinder (stream function s (1 - R^2 / r^2)), fading faster than the textbook's: wood mends.
        var ratio = r2 / (radius * radius);
        var block = ratio <= 1 ? 1 : Math.Exp(-0.35 * (ratio - 1)) / ratio;
        var lift = Bulge * radius * (ratio <= 1 ? 1 : Math.Exp(-1.1 * (Math.Sqrt(ratio) - 1)));
        var (sin, cos) = Math.SinCos(ThetaRad);
        s *= 1 - block;
        var c = Math.Sqrt(Math.Max(0, (u * u) - (s * s)));
        var k = Math.Max(u - (lift * u / (u + 5)), 1e-6) / u;
        qx = k * ((c * cos) - (s * sin));
        qy = k * ((c * sin) + (s * cos));
    }

    /// <summary>Distance from the axis over the radius that the grain flows round: under about 3 the grain is disturbed.</summary>
    internal double Nearness(double qx, double qy, double z)
    {
        if (!Offset(qx, qy, z, out var u, out var s, out var a))
            return double.MaxValue;
        var radius = FlowRadiusAt(u);
        return radius < 0.05 ? double.MaxValue : Math.Sqrt((s * s) + (a * a)) / radius;
    }
}

/// <summary>An indented ring zone: a groove in every ring at one place round the log, as common in Sitka spruce. No blemish (ANC-19 2.415).</summary>
/// <param name="ThetaRad">Where round the log.</param>
/// <param name="DepthMm">How far the rings dip towards the pith.</param>
/// <param name="WidthMm">Width of the groove.</param>
/// <param name="FromMm">Log radius from which it shows.</param>
/// <param name="ToMm">Log radius at which it ends.</param>
public sealed record Indent(double ThetaRad, double DepthMm, double WidthMm, double FromMm, double ToMm)
{
    internal double At(double qx, double qy, double u)
    {
        var (sin, cos) = Math.SinCos(ThetaRad);
        if ((qx * cos) + (qy * sin) <= 0)
            return 0;
        var s = ((qy * cos) - (qx * sin)) / WidthMm;
        var fade = Math.Clamp((u - FromMm) / 4, 0, 1) * Math.Clamp((ToMm - u) / 4, 0, 1);
        return s * s > 12 ? 0 : DepthMm * fade * Math.Exp(-s * s);
    }
}
