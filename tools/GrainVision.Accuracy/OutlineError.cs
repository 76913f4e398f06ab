using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Measuring.Section;
using GrainVision.Synthesis;

namespace GrainVision.Accuracy;

/// <summary>How far an answer's outline is off the wood's true edge, and whether the answer says that it may be.</summary>
/// <param name="Mm">Of the side that is farthest off, taken at a tenth and nine tenths of its length, mm. Sides that lie on the photo's border are no edges and do not count.</param>
/// <param name="Doubted">The answer says that the edge is not sure.</param>
internal readonly record struct OutlineError(double Mm, bool Doubted)
{
    /// <summary>2 mm: from here on an outline that nobody doubts is a fault (design.md section 8).</summary>
    public const double FaultMm = 2;

    /// <summary>1 mm: within it an outline is right.</summary>
    public const double RightMm = 1;

    /// <summary>4 px: a side this close to the photo's border lies on it.</summary>
    private const double BorderPx = 4;

    public static OutlineError Of(Measurement m, PhotoTruth truth)
    {
        var off = Enumerable.Range(0, 4).Select(k => (A: m.Outline[k], B: m.Outline[(k + 1) % 4])).Where(s => !SideRefiner.LiesOnBorder(m.Photo.Width, m.Photo.Height, s.A, s.B, BorderPx))
            .SelectMany(s => new[] { 0.1, 0.9 }.Select(t => FromEdge(s.A + ((s.B - s.A) * t), truth.Outline))).DefaultIfEmpty(0).Max();
        return new OutlineError(off / truth.Scale.PixelsPerMm, m.CannotSay.Any(c => c.What == CannotSayTopic.Outline));
    }

    private static double FromEdge(PointPx p, IReadOnlyList<PointPx> outline) => Enumerable.Range(0, 4).Min(k =>
    {
        var (a, b) = (outline[k], outline[(k + 1) % 4]);
        return Math.Abs(((b.X - a.X) * (p.Y - a.Y)) - ((b.Y - a.Y) * (p.X - a.X))) / a.DistanceTo(b);
    });
}
