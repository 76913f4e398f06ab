using OpenCvSharp;

namespace GrainVision.Measuring.Orientation;

/// <summary>
/// A smooth model of the ring normals over a section: circles about a pith that may be infinitely far away, plus a
/// quadratic correction for rings that are not circles.
/// </summary>
/// <remarks>
/// The normal at offset d from the middle points along (cos φ - κ·dx, sin φ - κ·dy), where φ is the direction to the pith and
/// κ = 1 / distance. Straight rings are κ = 0, a regular point, unlike a pith position that runs to infinity.
/// </remarks>
internal sealed record RingField(Point2d MiddleMm, double ReachMm, double PhiRad, double CurvaturePerMm, double[] Correction)
{
    /// <summary>0.2: nearer to the pith than this share of its distance the normals turn too fast to be followed.</summary>
    public const double PithNear = 0.2;

    /// <summary>What the smooth model leaves of the rings' waving; null where it is not looked at.</summary>
    public OrientationResiduals? Waves { get; init; }

    /// <summary>Vector along the normal at a point, unnormalised circle part: its length falls to zero at the pith.</summary>
    public Point2d CircleNormal(Point2d mm)
    {
        var (dx, dy) = (mm.X - MiddleMm.X, mm.Y - MiddleMm.Y);
        return new Point2d(Math.Cos(PhiRad) - (CurvaturePerMm * dx), Math.Sin(PhiRad) - (CurvaturePerMm * dy));
    }

    /// <summary>Direction of the normal, rad, continuous over the section except through the pith; towards the pith where κ is positive.</summary>
    public double NormalRad(Point2d mm)
    {
        var n = CircleNormal(mm);
        return Math.Atan2(n.Y, n.X) + CorrectionRad(mm) + (Waves?.TurnRad(mm) ?? 0);
    }

    /// <summary>Where the pith is, mm in the section's frame; null for straight rings.</summary>
    public Point2d? PithMm => Math.Abs(CurvaturePerMm) < 1e-6
        ? null
        : new Point2d(MiddleMm.X + (Math.Cos(PhiRad) / CurvaturePerMm), MiddleMm.Y + (Math.Sin(PhiRad) / CurvaturePerMm));

    /// <summary>The terms of the correction at a point: quadratic in offsets scaled by <see cref="ReachMm"/>.</summary>
    public double[] CorrectionTerms(Point2d mm)
    {
        var (x, y) = ((mm.X - MiddleMm.X) / ReachMm, (mm.Y - MiddleMm.Y) / ReachMm);
        return [1, x, y, x * x, x * y, y * y];
    }

    private double CorrectionRad(Point2d mm)
    {
        if (Correction.Length == 0)
            return 0;
        // The terms written out: asked for at every step of every path, an array each time would be the dearest part.
        var (x, y) = ((mm.X - MiddleMm.X) / ReachMm, (mm.Y - MiddleMm.Y) / ReachMm);
        var c = Correction;
        return c[0] + (x * c[1]) + (y * c[2]) + (x * x * c[3]) + (x * y * c[4]) + (y * y * c[5]);
    }
}
