using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Grading.Verdicts;

namespace GrainVision.Grading.Pieces;

/// <summary>
/// Angle of the growth rings to a face, from the ends of the same piece. A face alone cannot tell whether its ring lines show the fibres, so
/// a service measures the ends first and gives this to the measuring of each face as <c>ringAngleDegrees</c>: the slope's
/// interval is then narrower, and a flat-grain face is not taken for edge grain. Faces that were measured before an end was known stay good,
/// only wider; the joiner drops those whose basis the ends contradict.
/// </summary>
public static class FaceRingAngle
{
    private const double RightAngleDeg = 90;

    /// <summary>Angle for measuring a face, degrees, 0 to 90; null where no end shows it or the section is square, so that no face is the wide one.</summary>
    /// <remarks>The end that shows the smaller angle governs, by the lower end of its interval: a smaller angle makes less of the face's ring lines, so the slope's interval can only come out too wide.</remarks>
    /// <param name="piece">The piece.</param>
    /// <param name="face">Which face is to be measured.</param>
    /// <param name="lowDeg">Least lower end of the intervals of the ends' ring angles to the wide faces; null where none was measured.</param>
    /// <param name="highDeg">Greatest upper end of them.</param>
    public static double? ForMeasuring(Piece piece, Surface face, double? lowDeg, double? highDeg)
    {
        ArgumentNullException.ThrowIfNull(piece);
        if (PieceGeometry.From(piece).Square || PieceSurfaces.IsEnd(face))
            return null;
        var angle = face is Surface.Face1 or Surface.Face3 ? lowDeg : RightAngleDeg - highDeg;
        return angle is { } a ? Math.Clamp(a, 0, RightAngleDeg) : null;
    }

    /// <summary>Mean over the ends, with an interval that holds all of theirs and how far the angle turns over the section.</summary>
    internal static Measured? Compute(Surface face, bool square, IEnumerable<Measurement> ends)
    {
        var angles = ends.Where(e => CannotSayReasons.Find(e, CannotSayTopic.RingAngle) is null).Select(e => e.RingAngle).OfType<RingAngleFinding>()
            .Where(a => GuardedAcceptance.IsUsable(a.Degrees) && a.Degrees.Low >= 0 && a.Degrees.High <= RightAngleDeg).ToList();
        if (square || angles.Count == 0 || PieceSurfaces.IsEnd(face))
            return null;
        var wide = new Measured(
            angles.Average(a => a.Degrees.Value),
            angles.Min(a => Math.Min(a.Degrees.Low, Math.Max(0, a.Least))),
            angles.Max(a => Math.Max(a.Degrees.High, Math.Min(RightAngleDeg, a.Greatest))),
            angles.Min(a => a.Degrees.Level));
        return face is Surface.Face1 or Surface.Face3
            ? wide
            : new Measured(RightAngleDeg - wide.Value, RightAngleDeg - wide.High, RightAngleDeg - wide.Low, wide.Level);
    }
}
