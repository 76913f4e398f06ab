using OpenCvSharp;

namespace GrainVision.Measuring.Blemishes;

/// <summary>Shape of a candidate: size, slenderness, solidity, and how it lies to the grain.</summary>
internal static class ShapeFeatures
{
    public static IReadOnlyList<string> Names { get; } =
    [
        "diameter", "longest", "elongation", "along-grain", "across-grain", "turn-to-grain", "solidity", "ellipse-fill", "roughness",
        "centroid-along", "centroid-across",
    ];

    public static float[] Of(BlemishCandidate c, Patch patch)
    {
        var pitch = 2 * patch.HalfAlong / Math.Max(0.1, ExtentMm(c, patch.Cos, patch.Sin));
        double n = 0, su = 0, sv = 0, suu = 0, suv = 0, svv = 0;
        for (var i = 0; i < patch.Zone.Length; i++)
        {
            if (patch.Zone[i] is not (Patch.Inside or Patch.InnerRim))
                continue;
            var (x, y) = patch.From(i);
            var (u, v) = ((x * patch.Cos) + (y * patch.Sin), (y * patch.Cos) - (x * patch.Sin));
            n++;
            su += u;
            sv += v;
            suu += u * u;
            suv += u * v;
            svv += v * v;
        }

        n = Math.Max(1, n);
        var (mu, mv) = (su / n, sv / n);
        // A pixel is not a point: a twelfth of its area belongs to the moments.
        var (cuu, cuv, cvv) = ((suu / n) - (mu * mu) + (1 / 12.0), (suv / n) - (mu * mv), (svv / n) - (mv * mv) + (1 / 12.0));
        var root = Math.Sqrt(((cuu - cvv) * (cuu - cvv) / 4) + (cuv * cuv));
        var (large, small) = (((cuu + cvv) / 2) + root, Math.Max(0.02, ((cuu + cvv) / 2) - root));
        var turn = 0.5 * Math.Atan2(2 * cuv, cuu - cvv);
        var hull = Cv2.ConvexHull(c.RimPx);
        var rim = Cv2.ArcLength(c.RimPx, true);
        var area = Cv2.ContourArea(c.RimPx) + (rim / 2) + 1;
        var hullRim = Cv2.ArcLength(hull, true);
        return
        [
            Ln(c.Shape.DiameterMm), Ln(c.Shape.LongestMm), Ln(Math.Sqrt(large / small)),
            Ln(2 * patch.HalfAlong / pitch), Ln(2 * patch.HalfAcross / pitch), (float)Math.Abs(Math.Sin(turn)),
            (float)(area / (Cv2.ContourArea(hull) + (hullRim / 2) + 1)), (float)(n / (4 * Math.PI * Math.Sqrt(large * small))), (float)(rim / Math.Max(1, hullRim)),
            (float)Math.Abs(mu / patch.HalfAlong), (float)Math.Abs(mv / patch.HalfAcross),
        ];
    }

    private static double ExtentMm(BlemishCandidate c, double cos, double sin)
    {
        var (least, greatest) = (double.MaxValue, double.MinValue);
        foreach (var p in c.RimMm)
        {
            var d = (p.X * cos) + (p.Y * sin);
            (least, greatest) = (Math.Min(least, d), Math.Max(greatest, d));
        }

        return greatest - least;
    }

    private static float Ln(double v) => (float)Math.Log(Math.Max(0.05, v));
}
