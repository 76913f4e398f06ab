using GrainVision.Grading.Quantities;
using GrainVision.Measuring.Geometry;
using OpenCvSharp;

namespace GrainVision.Measuring.Scale.Card;

/// <summary>
/// What the lens does to a scale that is read on the card and used beside it. A homography takes radial distortion for perspective: near the card
/// that is harmless, away from it the scale goes off by twice the distortion and more. How much the card's own corners leave of a lens is seen in
/// their residuals; what they cannot show is held to what lenses are like.
/// </summary>
/// <remarks>
/// Distortion model: D. C. Brown 1971, "Close-range camera calibration", Photogrammetric Engineering 37 (8), pp. 855-866; first term only. The
/// distortion is only estimated, never corrected: the scale stays what the homography says, and this is a term of its uncertainty.
/// </remarks>
internal sealed class CardLens
{
    /// <summary>0.01: everything here is linear in k1 far beyond it.</summary>
    private const double Step = 0.01;

    private readonly Homography _mmFromPx;
    private readonly Homography _bentMmFromPx;

    private CardLens(Homography mmFromPx, Homography bentMmFromPx, double k1)
    {
        _mmFromPx = mmFromPx;
        _bentMmFromPx = bentMmFromPx;
        K1 = k1;
    }

    /// <summary>Root mean square of what the distortion may be.</summary>
    public double K1 { get; }

    /// <param name="card">Corners on the card, mm.</param>
    /// <param name="seen">The same in the photo, px.</param>
    /// <param name="fit">Their homography.</param>
    /// <param name="sigmaPx">Standard uncertainty of a corner's coordinate.</param>
    /// <param name="picture">The whole photo.</param>
    /// <returns>Null where the bent corners fix no homography.</returns>
    public static CardLens? Compute(IReadOnlyList<PointPx> card, IReadOnlyList<PointPx> seen, HomographyFit fit, double sigmaPx, Size picture)
    {
        var middle = new PointPx((picture.Width - 1) / 2.0, (picture.Height - 1) / 2.0);
        var radius2 = (middle.X * middle.X) + (middle.Y * middle.Y);
        var straight = card.Select(fit.Map.Map).ToArray();
        var bent = straight.Select(p => p + ((p - middle) * (Step * Square(p - middle) / radius2))).ToArray();
        if (HomographyFit.Fit(card, bent) is not { } taken)
            return null;

        // Least squares of the residuals on what a homography leaves of a lens, with the prior.
        double both = 0, own = 0;
        for (var i = 0; i < straight.Length; i++)
        {
            var left = (bent[i] - taken.Map.Map(card[i])) * (1 / Step);
            var miss = seen[i] - straight[i];
            both += (left.X * miss.X) + (left.Y * miss.Y);
            own += Square(left);
        }

        var precision = (own / (sigmaPx * sigmaPx)) + (1 / (ScaleUncertaintyBudget.LensK1 * ScaleUncertaintyBudget.LensK1));
        var estimate = both / (sigmaPx * sigmaPx) / precision;
        return new CardLens(fit.Map.Inverse(), taken.Map.Inverse(), ScaleUncertaintyBudget.Combine(estimate, Math.Sqrt(1 / precision)));
    }

    /// <summary>Relative standard uncertainty of the scale at a place in the photo.</summary>
    public double RelativeAt(PointPx p) => K1 / Step * Math.Abs(Math.Log(_bentMmFromPx.MagnificationAt(p) / _mmFromPx.MagnificationAt(p)));

    private static double Square(PointPx v) => (v.X * v.X) + (v.Y * v.Y);
}
