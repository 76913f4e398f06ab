using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Grading.Refusals;
using GrainVision.Measuring.Geometry;

namespace GrainVision.Measuring.Scale;

/// <summary>
/// The scale of a section whose sides are known: the four corners are the rectangle of that size, seen in perspective.
/// </summary>
/// <remarks>
/// The stated sizes count as exact and the section as a true rectangle. The corners count with 0.75 px standard uncertainty in x and y
/// (<see cref="ScaleUncertaintyBudget.CornerPx"/>), carried through the homography. Two sides swapped by mistake are refused only where
/// they differ by more than a factor of 1.6 or so: a section that is nearly square cannot show the slip.
/// </remarks>
public static class OutlineSizeScaleMaker
{
    /// <summary>1.6: a camera tilted by 50 degrees. Beyond it the sizes do not belong to these sides.</summary>
    private const double GreatestStretch = 1.6;

    /// <summary>1.25: a camera tilted by 37 degrees; worth a word.</summary>
    private const double OddStretch = 1.25;

    /// <summary>Makes the scale; the homography maps corner 1 to (0, 0) and corner 2 to (first side, 0) mm, and never mirrors.</summary>
    /// <param name="corners">Four corners in order round the piece, px; either way round.</param>
    /// <param name="firstSideMm">Length of side 1-2, more than 0, at most 20,000 mm.</param>
    /// <param name="secondSideMm">Length of side 2-3, more than 0, at most 20,000 mm.</param>
    public static Outcome<PhotoScale> Make(IReadOnlyList<PointPx> corners, double firstSideMm, double secondSideMm)
    {
        ArgumentNullException.ThrowIfNull(corners);
        if (corners.Count != 4 || corners.Any(c => !double.IsFinite(c.X) || !double.IsFinite(c.Y)))
            return ScaleRefusals.BadOutlineSize("An outline with a known size needs four corners.");
        if (!ScaleUncertaintyBudget.IsLengthBelievable(firstSideMm) || !ScaleUncertaintyBudget.IsLengthBelievable(secondSideMm))
            return ScaleRefusals.BadOutlineSize("Both sides of the outline must be more than 0 and at most 20,000 mm.");
        for (var i = 0; i < 4; i++)
        {
            if (corners[i].DistanceTo(corners[(i + 1) % 4]) < ScaleUncertaintyBudget.LeastSidePx)
                return ScaleRefusals.BadOutlineSize("A side of the outline is too short in the picture to carry a scale.");
        }

        var turn = TurnOf(corners);
        if (turn == 0)
            return ScaleRefusals.BadOutlineSize("The outline crosses itself, has a hollow corner, or three corners on one line.");

        // Corners that run the other way round get a second side of negative y, so that the map never mirrors.
        IReadOnlyList<PointPx> rectangle = [new(0, 0), new(firstSideMm, 0), new(firstSideMm, turn * secondSideMm), new(0, turn * secondSideMm)];
        if (HomographyFit.Fit(rectangle, corners) is not { } fit)
            return ScaleRefusals.BadOutlineSize("The four corners do not make a rectangle seen in perspective.");

        var middleMm = new PointPx(firstSideMm / 2, turn * secondSideMm / 2);
        var pitch = fit.Map.MagnificationAt(middleMm);
        var stretch = fit.Map.StretchAt(middleMm);
        if (!ScaleUncertaintyBudget.IsPitchBelievable(pitch))
            return ScaleRefusals.BadOutlineSize($"The outline and its size give {pitch:G3} pixels per millimetre, which cannot be right.");
        if (stretch > GreatestStretch)
            return ScaleRefusals.OutlineSizeMismatch();

        var fromCorners = fit.StandardUncertaintyOf(h => Math.Log(h.MagnificationAt(middleMm)), ScaleUncertaintyBudget.CornerPx);
        return new PhotoScale(
            new ScaleFinding(ScaleKind.OutlineSize, Measured.FromStandardUncertainty(pitch, pitch * fromCorners), Marks: corners),
            fit.Map.Inverse().RowMajor,
            [])
        {
            Warnings = stretch > OddStretch
                ? [new(WarningCode.OutlineSizeFitsPoorly, "The stated sides fit the outline poorly: check that they are not swapped and that the camera was square to the surface.")]
                : [],
        };
    }

    /// <summary>The same in a photo of this size, px: what its lens may do to the outline counts too.</summary>
    internal static Outcome<PhotoScale> MakeInPhoto(IReadOnlyList<PointPx> corners, double firstSideMm, double secondSideMm, int widthPx, int heightPx)
    {
        if (!Make(corners, firstSideMm, secondSideMm).TryGet(out var made, out var refusal))
            return refusal;
        var pitch = made.Finding.PixelsPerMm;
        var centre = new PointPx((widthPx - 1) / 2.0, (heightPx - 1) / 2.0);
        var halfDiagonal2 = (centre.X * centre.X) + (centre.Y * centre.Y);
        var cornersOut = corners.Average(c => Math.Pow(c.DistanceTo(centre), 2)) / halfDiagonal2;
        var middle = new PointPx(corners.Average(c => c.X), corners.Average(c => c.Y));

        // The lens bends the outline, which four corners cannot show: on 420 drawn ends that explains all but 0.03 % of the error in the middle.
        var lens = ScaleUncertaintyBudget.LensK1 * Math.Abs(cornersOut - (Math.Pow(middle.DistanceTo(centre), 2) / halfDiagonal2)) * pitch.Value;
        var u = Math.Sqrt((pitch.StandardUncertainty * pitch.StandardUncertainty) + (lens * lens));
        return made with { Finding = made.Finding with { PixelsPerMm = Measured.FromStandardUncertainty(pitch.Value, u) } };
    }

    /// <summary>+1 or -1 for a convex quad that turns the same way at each corner, else 0. A corner within 2 degrees of straight counts as none.</summary>
    private static int TurnOf(IReadOnlyList<PointPx> c)
    {
        var leastSine = Math.Sin(Units.DegToRad(2));
        var signs = 0;
        for (var i = 0; i < 4; i++)
        {
            var a = c[(i + 1) % 4] - c[i];
            var b = c[(i + 2) % 4] - c[(i + 1) % 4];
            var sine = ((a.X * b.Y) - (a.Y * b.X)) / (a.Length * b.Length);
            if (Math.Abs(sine) < leastSine)
                return 0;
            signs += Math.Sign(sine);
        }

        return Math.Abs(signs) == 4 ? Math.Sign(signs) : 0;
    }
}
