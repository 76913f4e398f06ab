using GrainVision.Grading.Cards;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Grading.Refusals;
using GrainVision.Measuring.Geometry;
using OpenCvSharp;

namespace GrainVision.Measuring.Scale.Card;

/// <summary>
/// From the rough place of the card to the scale: chessboard corners to sub-pixel accuracy at full resolution, a least-squares
/// homography, and its uncertainty at the middle of the picture, where the piece most likely is.
/// </summary>
/// <remarks>
/// Corner refinement is OpenCV's gradient method (W. Foerstner and E. Guelch 1987, "A fast operator for detection and precise
/// location of distinct points, corners and centres of circular features"). Terms of the uncertainty: corners (residual of the
/// fit, at least 0.05 px, carried to the place of the piece), the lens (<see cref="CardLens"/>), unchecked print and plane (<see cref="ScaleUncertaintyBudget"/>).
/// </remarks>
internal static class CardFit
{
    /// <summary>0.05 px: corner refinement is never better on a real photo (sharpening, demosaicing), however small the residual.</summary>
    private const double LeastCornerSigmaPx = 0.05;

    /// <summary>A corner may move by this share of a square's shortest diagonal-free reach from where the markers put it.</summary>
    private const double GreatestMove = 0.2;

    /// <summary>The white rim between a square's edge and its marker, as a share of the square: the window that locates a corner must not reach the marker.</summary>
    private const double RimShare = (CardDesign.SquareMm - CardDesign.MarkerMm) / 2 / CardDesign.SquareMm;

    /// <summary>20 grey levels between the black and the white squares round a corner; less is glare, shadow or a finger.</summary>
    private const double LeastContrast = 20;

    /// <summary>2.0: tilt of 60 degrees.</summary>
    private const double GreatestStretch = 2.0;

    /// <summary>3 %: a scale worse than this carried to the middle of the picture helps nobody.</summary>
    private const double GreatestRelative = 0.03;

    public static Outcome<PhotoScale> Measure(Mat gray, Homography rough)
    {
        var fit = Refine(gray, rough, out var card, out var seen);
        if (fit is null)
            return ScaleRefusals.CardTooLittleSeen(seen.Count);
        var map = fit.Map;
        var squarePx = CardDesign.SquareMm * map.MagnificationAt(new PointPx(CardDesign.WidthMm / 2, CardDesign.HeightMm / 2));

        // A bent card or a wrong corner: far more than sharpness can explain.
        if (fit.Residual > Math.Max(0.5, 0.02 * squarePx))
            return ScaleRefusals.CardNotFlat();
        if (map.StretchAt(new PointPx(CardDesign.WidthMm / 2, CardDesign.HeightMm / 2)) > GreatestStretch)
            return ScaleRefusals.CardTooTilted();
        if (map.Determinant <= 0)
            return ScaleRefusals.CardMirrored();
        return Scale(gray, fit, card, seen);
    }

    /// <summary>The card's plane from its chessboard corners; null where too few of them are seen.</summary>
    public static HomographyFit? Refine(Mat gray, Homography rough) => Refine(gray, rough, out _, out _);

    private static HomographyFit? Refine(Mat gray, Homography rough, out List<PointPx> card, out List<PointPx> seen)
    {
        (card, seen) = ([], []);
        HomographyFit? fit = null;
        var near = rough;

        // Twice: markers alone place the far corners roughly, the corners found first place the rest well.
        for (var round = 0; round < 2; round++)
        {
            (card, seen) = Corners(gray, near);
            fit = card.Count < CardDesign.LeastCorners ? null : HomographyFit.Fit(card, seen);
            if (fit is null)
                return null;
            near = fit.Map;
        }

        return fit;
    }

    private static Outcome<PhotoScale> Scale(Mat gray, HomographyFit fit, List<PointPx> card, List<PointPx> seen)
    {
        var middle = new PointPx((gray.Width - 1) / 2.0, (gray.Height - 1) / 2.0);
        var mmFromPx = fit.Map.Inverse();
        var atCard = Math.Sign(mmFromPx.Depth(fit.Map.Map(new PointPx(CardDesign.WidthMm / 2, CardDesign.HeightMm / 2))));
        if (Math.Sign(mmFromPx.Depth(middle)) != atCard)
            return ScaleRefusals.CardTooTilted();

        var pitch = 1 / mmFromPx.MagnificationAt(middle);
        var cornerSigma = Math.Max(fit.Residual, LeastCornerSigmaPx);
        double Carried(PointPx p) => fit.StandardUncertaintyOf(h => Math.Log(h.Inverse().MagnificationAt(p)), cornerSigma);
        if (!ScaleUncertaintyBudget.IsPitchBelievable(pitch) || !(Carried(middle) <= GreatestRelative) || CardLens.Compute(card, seen, fit, cornerSigma, gray.Size()) is not { } lens)
            return ScaleRefusals.CardTooFar();

        var reading = PieceCardReader.Read(gray, fit.Map);
        var outline = reading.IsPieceCard ? PieceCardDesign.OutlineMm : CardDesign.OutlineMm;
        double RelativeAt(PointPx p) => ScaleUncertaintyBudget.Combine(Carried(p), lens.RelativeAt(p), ScaleUncertaintyBudget.UncheckedPrint, ScaleUncertaintyBudget.OutOfPlane);
        return new PhotoScale(
            new ScaleFinding(ScaleKind.Card, Measured.FromStandardUncertainty(pitch, pitch * RelativeAt(middle)), Marks: seen) { Card = reading.Says },
            mmFromPx.RowMajor,
            [outline.Select(fit.Map.Map).ToArray()])
        {
            Warnings =
            [
                new(WarningCode.CardPrintUnchecked, "The scale rests on the printed card: its print is trusted to 0.3 % only. Hold the printed check line against a steel rule once for every print."),
            ],
            RelativeAt = RelativeAt,
            LensK1 = lens.K1,
            IsPieceCard = reading.IsPieceCard,
        };
    }

    private static (List<PointPx> Card, List<PointPx> Seen) Corners(Mat gray, Homography near)
    {
        var card = new List<PointPx>();
        var seen = new List<PointPx>();
        foreach (var c in CardDesign.CornersMm)
        {
            if (near.Depth(c) <= 0)
                continue;
            var start = near.Map(c);
            var reach = Reach(near, c);
            var window = (int)Math.Clamp(Math.Floor(reach * RimShare), 2, 15);
            if (start.X < window + 4 || start.Y < window + 4 || start.X > gray.Width - window - 5 || start.Y > gray.Height - window - 5)
                continue;
            var found = Refine(gray, start, window);
            if (found.DistanceTo(start) > Math.Max(1.5, GreatestMove * reach) || !IsChessCorner(gray, near, c, found - start))
                continue;
            card.Add(c);
            seen.Add(found);
        }

        return (card, seen);
    }

    private static PointPx Refine(Mat gray, PointPx start, int window)
    {
        // cornerSubPix itself needs no more than the neighbourhood, but converts what it is given: hand it a small piece.
        var x0 = (int)start.X - window - 3;
        var y0 = (int)start.Y - window - 3;
        using var view = new Mat(gray, new Rect(x0, y0, (2 * window) + 8, (2 * window) + 8));
        using var part = new Mat();

        // Edges sharper than the pixel grid (a scanner, sharpening in the phone) pull the corner; smoothing costs nothing where the window is wide.
        if (window >= 5)
            Cv2.GaussianBlur(view, part, default, window / 6.0, borderType: BorderTypes.Replicate);
        else
            view.CopyTo(part);
        var refined = Cv2.CornerSubPix(
            part, [new Point2f((float)(start.X - x0), (float)(start.Y - y0))], new Size(window, window), new Size(-1, -1),
            new TermCriteria(CriteriaTypes.Count | CriteriaTypes.Eps, 30, 0.005));
        return new PointPx(refined[0].X + x0, refined[0].Y + y0);
    }

    /// <summary>Shortest distance in the picture from a corner to its neighbours.</summary>
    private static double Reach(Homography map, PointPx c)
    {
        var at = map.Map(c);
        var along = map.Map(new PointPx(c.X + CardDesign.SquareMm, c.Y));
        var down = map.Map(new PointPx(c.X, c.Y + CardDesign.SquareMm));
        return Math.Min(at.DistanceTo(along), at.DistanceTo(down));
    }

    /// <summary>Looks at the four squares round a corner near it, inside the white rim of the markers: two black, two white, crosswise.</summary>
    private static bool IsChessCorner(Mat gray, Homography map, PointPx c, PointPx move)
    {
        // 0.1 of a square: the white rim between a marker and its square's corner is 0.125 wide, so its inner part is always white.
        const double off = 0.1 * CardDesign.SquareMm;
        var column = (int)Math.Round((c.X - CardDesign.QuietMm) / CardDesign.SquareMm);
        var row = (int)Math.Round((c.Y - CardDesign.QuietMm) / CardDesign.SquareMm);
        double darkest = 255, brightest = 0;
        for (var i = 0; i < 4; i++)
        {
            var right = i % 2;
            var below = i / 2;
            var p = map.Map(new PointPx(c.X + ((2 * right) - 1) * off, c.Y + ((2 * below) - 1) * off)) + move;
            var x = (int)Math.Round(p.X);
            var y = (int)Math.Round(p.Y);
            if (x < 0 || y < 0 || x >= gray.Width || y >= gray.Height)
                return false;
            double value = gray.At<byte>(y, x);
            if (CardDesign.IsBlack(row - 1 + below, column - 1 + right))
                brightest = Math.Max(brightest, value);
            else
                darkest = Math.Min(darkest, value);
        }

        // The darkest white square must be clearly brighter than the brightest black one.
        return darkest - brightest >= LeastContrast;
    }
}
