using GrainVision.Grading.Findings;
using GrainVision.Measuring.Blemishes;
using GrainVision.Measuring.Section;
using OpenCvSharp;

namespace GrainVision.Trainer;

/// <summary>What a candidate truly is.</summary>
/// <param name="Kind">Its class; null: not a blemish.</param>
/// <param name="Doubtful">Part blemish and part not, or on a mark that counts neither way: not trained on, not counted.</param>
/// <param name="Truth">Index of the true blemish that it lies on, or -1.</param>
internal readonly record struct Label(BlemishKind? Kind, bool Doubtful, int Truth);

/// <summary>Tells what each candidate truly is, by the area that it shares with the true blemishes.</summary>
internal static class Labeller
{
    /// <summary>0.3: share of a candidate's area that must lie on a true blemish for it to be one.</summary>
    private const double LeastShare = 0.3;

    /// <summary>0.5: or share of the true blemish that the candidate holds.</summary>
    private const double LeastHeld = 0.5;

    /// <summary>0.05: share below which it has nothing to do with the blemish beside it.</summary>
    private const double NothingShared = 0.05;

    public static Label[] Label(RectifiedSurface raster, IReadOnlyList<BlemishCandidate> candidates, IReadOnlyList<TrueBlemish> truths)
    {
        var (width, height) = (raster.Grey.Width, raster.Grey.Height);
        var masks = truths.Select(t => Mask(raster, t, width, height)).ToList();
        try
        {
            return [.. candidates.Select(c => One(c, truths, masks, width, height))];
        }
        finally
        {
            foreach (var mask in masks)
                mask.Dispose();
        }
    }

    private static Label One(BlemishCandidate candidate, IReadOnlyList<TrueBlemish> truths, List<Mat> masks, int width, int height)
    {
        using var own = new Mat(height, width, MatType.CV_8UC1, Scalar.All(0));
        Cv2.FillPoly(own, [candidate.RimPx], Scalar.All(255));
        var area = Math.Max(1, Cv2.CountNonZero(own));
        var (best, bestShare, touched) = (-1, 0.0, false);
        for (var i = 0; i < masks.Count; i++)
        {
            using var both = new Mat();
            Cv2.BitwiseAnd(own, masks[i], both);
            var common = (double)Cv2.CountNonZero(both);
            var (share, held) = (common / area, common / Math.Max(1, Cv2.CountNonZero(masks[i])));
            touched |= share > NothingShared;
            if ((share >= LeastShare || held >= LeastHeld) && share > bestShare)
                (best, bestShare) = (i, share);
        }

        if (best < 0)
            return new Label(null, touched, -1);
        return new Label(truths[best].Kind, truths[best].Kind is null, best);
    }

    private static Mat Mask(RectifiedSurface raster, TrueBlemish truth, int width, int height)
    {
        var mask = new Mat(height, width, MatType.CV_8UC1, Scalar.All(0));
        var points = truth.Outline.Select(p => raster.FromMm(raster.Plane.ToMm(p))).Select(p => new Point((int)Math.Round(p.X), (int)Math.Round(p.Y))).ToArray();
        Cv2.FillPoly(mask, [points], Scalar.All(255));
        // A pixel of slack: outlines are drawn to a pixel or two, and a check is hardly wider.
        using var kernel = Cv2.GetStructuringElement(MorphShapes.Rect, new Size(3, 3));
        Cv2.Dilate(mask, mask, kernel);
        return mask;
    }
}
