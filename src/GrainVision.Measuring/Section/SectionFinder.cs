using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Grading.Refusals;
using GrainVision.Measuring.Intake;
using OpenCvSharp;

namespace GrainVision.Measuring.Section;

/// <summary>
/// Finds the piece's outline: by colour in a reduced photo, then each side placed to a fraction of a pixel in the full one.
/// Known to fail: a bench of the wood's own colour, waney edges, pieces that touch others of their kind. Those are refused.
/// </summary>
public static class SectionFinder
{
    /// <summary>640 px: long side of the reduced photo; a side is then placed to about a pixel of it before it is refined.</summary>
    private const int ReducedPx = 640;

    /// <summary>0.96: share of the quadrilateral that must be of the wood's colour; stamps and broken arrises take a few percent.</summary>
    private const double LeastFilled = 0.96;

    /// <summary>0.75: share of the region that the quadrilateral must hold; a side of the piece seen beside its end is left out.</summary>
    private const double LeastHeld = 0.75;

    /// <summary>0.97: a region that fills so much of the photo leaves no background: the piece runs off the photo all round.</summary>
    private const double FillsPhoto = 0.97;

    /// <summary>Finds the outline, or checks the one that the caller gave.</summary>
    public static Outcome<PieceOutline> Find(
        UprightPhoto photo, View view, IReadOnlyList<PointPx>? given, IReadOnlyList<IReadOnlyList<PointPx>> keepout)
    {
        ArgumentNullException.ThrowIfNull(photo);
        ArgumentNullException.ThrowIfNull(keepout);
        if (given is not null)
            return GivenOutline.Check(given, photo.Width, photo.Height);

        var shrink = Math.Max(1, Math.Max(photo.Width, photo.Height) / (double)ReducedPx);
        using var small = new Mat();
        Cv2.Resize(photo.Bgr, small, new Size(Math.Round(photo.Width / shrink), Math.Round(photo.Height / shrink)), 0, 0, InterpolationFlags.Area);
        var keepoutSmall = keepout.Select(p => (IReadOnlyList<PointPx>)[.. p.Select(q => q * (1 / shrink))]).ToList();
        using var mask = WoodRegion.Find(small, keepoutSmall);
        if (mask is null)
            return NotFound();
        var area = Cv2.CountNonZero(mask);
        if (area > FillsPhoto * small.Width * small.Height)
            return WholePhoto(photo);

        if (QuadFit.Fit(mask) is not { } quad)
            return NotFound();
        var (filled, held) = QuadFit.Overlap(mask, quad.Corners);
        if (filled < LeastFilled || held < LeastHeld)
            return NotFound();
        return SideRefiner.Refine(photo, view, quad.Corners, quad.Arris, shrink);
    }

    private static PieceOutline WholePhoto(UprightPhoto photo)
    {
        PointPx[] corners = [new(0, 0), new(photo.Width - 1, 0), new(photo.Width - 1, photo.Height - 1), new(0, photo.Height - 1)];
        return new PieceOutline(corners, false, 0, 0.05, [false, false, false, false]);
    }

    private static Refusal NotFound() => RefusalCatalog.SectionNotFound.Because("The piece could not be told from what it lies on.");
}
