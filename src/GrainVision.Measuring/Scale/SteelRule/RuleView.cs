using GrainVision.Grading.Quantities;
using GrainVision.Measuring.Geometry;

namespace GrainVision.Measuring.Scale.SteelRule;

/// <summary>The rule's plane as one lens would show it: perspective and distortion together.</summary>
/// <param name="Optics">The lens.</param>
/// <param name="Fit">Spacing along the row.</param>
/// <param name="Plane">Perspective, ideal lens.</param>
internal sealed record RuleView(RuleOptics Optics, SpacingFit Fit, SteelRulePlane Plane)
{
    private readonly Homography _mmFromIdeal = Plane.PxFromMm.Inverse();

    public Homography MmFromIdeal => _mmFromIdeal;

    /// <summary>Logarithm of the pixels per mm that the photo shows at a place, root of the ratio of areas.</summary>
    public double LogAt(PointPx p)
    {
        var ideal = Ideal(p);
        var r = Share(ideal);
        return (0.5 * Math.Log((1 + (Fit.K1 * r)) * (1 + (3 * Fit.K1 * r)))) - Math.Log(_mmFromIdeal.MagnificationAt(ideal));
    }

    /// <summary>Where an ideal lens would show what the photo shows at a place.</summary>
    public PointPx Ideal(PointPx p)
    {
        var d = p - Optics.Axis;
        var ideal = p;
        for (var round = 0; round < 4; round++)
            ideal = Optics.Axis + (d * (1 / (1 + (Fit.K1 * Share(ideal)))));
        return ideal;
    }

    /// <summary>Square of the distance from the axis in radii; no lens is described beyond 1.5.</summary>
    public double Share(PointPx ideal) => Math.Min(2.25, Math.Pow(ideal.DistanceTo(Optics.Axis) / Optics.RadiusPx, 2));
}
