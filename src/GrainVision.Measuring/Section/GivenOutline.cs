using GrainVision.Grading.Quantities;
using GrainVision.Grading.Refusals;

namespace GrainVision.Measuring.Section;

/// <summary>Checks an outline that the caller gave. It wins over anything that the photo shows.</summary>
internal static class GivenOutline
{
    /// <summary>1 px: how well a person picks a corner on a screen, standard uncertainty (common practice, no source).</summary>
    private const double PickPx = 1;

    /// <summary>24 px: a shorter side shows nothing that could be measured.</summary>
    private const double ShortestSidePx = 24;

    public static Outcome<PieceOutline> Check(IReadOnlyList<PointPx> corners, int width, int height)
    {
        if (corners.Count != 4)
            return RefusalCatalog.OutlineNotFourCorners.Because($"The outline has {corners.Count} corners; four are needed.");
        foreach (var c in corners)
        {
            // A click on the very edge may land a pixel outside.
            if (!double.IsFinite(c.X) || !double.IsFinite(c.Y) || c.X < -2 || c.Y < -2 || c.X > width + 1 || c.Y > height + 1)
            {
                return RefusalCatalog.OutlineOutsidePhoto.Because("A corner of the outline lies outside the photo.", $"Give corners in pixels of the upright photo: x from 0 to {width - 1}, y from 0 to {height - 1}.");
            }
        }

        var turn = 0;
        for (var i = 0; i < 4; i++)
        {
            var (a, b, c) = (corners[i], corners[(i + 1) % 4], corners[(i + 2) % 4]);
            if (a.DistanceTo(b) < ShortestSidePx)
                return RefusalCatalog.OutlineTooSmall.Because($"A side of the outline is under {ShortestSidePx:0} pixels long.");
            var cross = ((b.X - a.X) * (c.Y - b.Y)) - ((b.Y - a.Y) * (c.X - b.X));
            // Sine of the corner: under 0.17 (10°) the quadrilateral is nearly flat or folded.
            if (Math.Abs(cross) < 0.17 * a.DistanceTo(b) * b.DistanceTo(c) || (turn != 0 && Math.Sign(cross) != turn))
                return RefusalCatalog.OutlineNotConvex.Because("The outline crosses itself, is folded or nearly flat.");
            turn = Math.Sign(cross);
        }

        var longest = Math.Max(corners[0].DistanceTo(corners[1]), ShortestSidePx);
        return new PieceOutline(corners, true, PickPx, PickPx / longest, [true, true, true, true]);
    }
}
