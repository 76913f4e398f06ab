using GrainVision.Grading.Quantities;
using OpenCvSharp;

namespace GrainVision.Measuring.Section;

/// <summary>
/// Separates the piece from what it lies on by colour: two colour histograms, one learned from the middle of the photo and one from its rim,
/// re-learned three times from what they found (a histogram form of M. J. Swain and D. H. Ballard, "Color indexing",
/// IJCV 7(1), 1991, doi 10.1007/BF00130487).
/// </summary>
internal static class WoodRegion
{
    private const int Bins = 16;

    /// <summary>0.08: share of the middle that must be yellowish before the rest of it is left out.</summary>
    private const double YellowishFrom = 0.08;

    /// <summary>
    /// Mask of the piece, CV_8UC1, 255 inside; the caller disposes it. Null where nothing around the middle stands out.
    /// </summary>
    /// <param name="smallBgr">The photo, reduced.</param>
    /// <param name="keepout">Polygons of card and rule in the reduced photo's pixels.</param>
    public static Mat? Find(Mat smallBgr, IReadOnlyList<IReadOnlyList<PointPx>> keepout)
    {
        using var blurred = new Mat();
        Cv2.MedianBlur(smallBgr, blurred, 5);
        using var lab = new Mat();
        Cv2.CvtColor(blurred, lab, ColorConversionCodes.BGR2Lab);
        var (width, height) = (lab.Width, lab.Height);
        using var blocked = new Mat(height, width, MatType.CV_8UC1, Scalar.All(0));
        foreach (var polygon in keepout)
            Cv2.FillPoly(blocked, [[.. polygon.Select(p => new Point((int)Math.Round(p.X), (int)Math.Round(p.Y)))]], Scalar.All(255));
        // The keepout's own edge and shadow are no wood either.
        Cv2.Dilate(blocked, blocked, new Mat(), iterations: Math.Max(1, width / 200));

        lab.GetArray(out Vec3b[] colours);
        blocked.GetArray(out byte[] isBlocked);
        var bins = colours.Select(BinOf).ToArray();
        var label = Start(width, height, isBlocked, colours);
        var mask = new Mat(height, width, MatType.CV_8UC1, Scalar.All(0));
        for (var round = 0; round < 4; round++)
        {
            var inside = Histogram(bins, label, 1);
            var outside = Histogram(bins, label, 0);
            var wood = new byte[bins.Length];
            for (var i = 0; i < bins.Length; i++)
                wood[i] = isBlocked[i] == 0 && inside[bins[i]] > outside[bins[i]] ? (byte)255 : (byte)0;
            mask.SetArray(wood);
            if (!KeepMiddlePiece(mask, width, height))
            {
                mask.Dispose();
                return null;
            }

            mask.GetArray(out byte[] kept);
            for (var i = 0; i < label.Length; i++)
                label[i] = isBlocked[i] != 0 ? -1 : kept[i] != 0 ? 1 : 0;
        }

        return mask;
    }

    /// <summary>1: middle of the photo, taken for wood; 0: rim of 5 %, taken for background; -1: not yet known.</summary>
    private static int[] Start(int width, int height, byte[] isBlocked, Vec3b[] colours)
    {
        var label = new int[width * height];
        var rim = Math.Max(2, Math.Min(width, height) / 20);
        var (middle, yellowish) = (0, 0);
        for (var y = 0; y < height; y++)
        {
            for (var x = 0; x < width; x++)
            {
                var i = (y * width) + x;
                var inMiddle = Math.Abs(x - (width / 2)) < width / 4 && Math.Abs(y - (height / 2)) < height / 4;
                var edge = x < rim || y < rim || x >= width - rim || y >= height - rim;
                label[i] = isBlocked[i] != 0 ? -1 : inMiddle ? 1 : edge ? 0 : -1;
                middle += label[i] == 1 ? 1 : 0;
                yellowish += label[i] == 1 && IsYellowish(colours[i]) ? 1 : 0;
            }
        }

        // Wood is yellowish to brown; a card, a rule or a bench in the middle mostly is not. A grey photo has no yellow: then all counts.
        if (yellowish > YellowishFrom * middle)
        {
            for (var i = 0; i < label.Length; i++)
                label[i] = label[i] == 1 && !IsYellowish(colours[i]) ? -1 : label[i];
        }

        return label;
    }

    /// <summary>CIE a* not greenish, b* at least 7: planed spruce is at b* 20 to 35, ash 15 to 25, weathered or dim wood down to about 8.</summary>
    private static bool IsYellowish(Vec3b lab) => lab.Item2 >= 128 + 7 && lab.Item1 >= 128 - 5;

    private static double[] Histogram(int[] bins, int[] label, int which)
    {
        var h = new double[Bins * Bins * Bins];
        var n = 0;
        for (var i = 0; i < bins.Length; i++)
        {
            if (label[i] != which)
                continue;
            h[bins[i]]++;
            n++;
        }

        // Smooth a little along each axis, so that a photo's noise does not leave holes between bins.
        foreach (var stride in (int[])[1, Bins, Bins * Bins])
        {
            var s = new double[h.Length];
            for (var i = 0; i < h.Length; i++)
            {
                var place = i / stride % Bins;
                s[i] = (0.5 * h[i]) + (0.25 * (place > 0 ? h[i - stride] : h[i])) + (0.25 * (place < Bins - 1 ? h[i + stride] : h[i]));
            }

            h = s;
        }

        for (var i = 0; i < h.Length; i++)
            h[i] = (h[i] / Math.Max(1, n)) + 1e-7;
        return h;
    }

    private static bool KeepMiddlePiece(Mat mask, int width, int height)
    {
        var size = Math.Max(3, width / 120) | 1;
        using var kernel = Cv2.GetStructuringElement(MorphShapes.Rect, new Size(size, size));
        Cv2.MorphologyEx(mask, mask, MorphTypes.Close, kernel);
        Cv2.MorphologyEx(mask, mask, MorphTypes.Open, kernel, iterations: 2);
        Cv2.FindContours(mask, out Point[][] contours, out _, RetrievalModes.External, ContourApproximationModes.ApproxNone);
        var middle = new Point2f(width / 2f, height / 2f);
        var chosen = contours
            .Where(c => c.Length > 20)
            .OrderByDescending(c => Cv2.ContourArea(c) * (Cv2.PointPolygonTest(c, middle, false) >= 0 ? 4 : 1))
            .FirstOrDefault();
        if (chosen is null || Cv2.ContourArea(chosen) < 0.01 * width * height)
            return false;
        mask.SetTo(Scalar.All(0));
        Cv2.FillPoly(mask, [chosen], Scalar.All(255));
        return true;
    }

    private static int BinOf(Vec3b lab)
    {
        // Lightness is coarse (light falls off over the bench); a and b of wood and benches lie near the middle, so they are stretched.
        static int Ab(byte v) => Math.Clamp(((v - 128) / 5) + (Bins / 2), 0, Bins - 1);
        return (((lab.Item0 * Bins / 256) * Bins) + Ab(lab.Item1)) * Bins + Ab(lab.Item2);
    }
}
