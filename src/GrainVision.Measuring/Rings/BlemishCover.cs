using GrainVision.Grading.Findings;
using GrainVision.Measuring.Orientation;
using GrainVision.Measuring.Section;
using OpenCvSharp;

namespace GrainVision.Measuring.Rings;

/// <summary>
/// How much of the strip beside a radial path lies under blemishes or marks: a stamp hides rings, and a shake along a ring looks like one.
/// </summary>
/// <param name="Share">Share of the strip's width that is covered, 0 to 1, at even steps along the path.</param>
/// <param name="StepMm">Those steps.</param>
internal sealed record BlemishCover(double[] Share, double StepMm)
{
    /// <summary>3 px/mm and 0.3 mm: shadows and ragged rims reach that far beyond an outline.</summary>
    private const double MaskPxPerMm = 3;
    private const int RimPx = 1;

    /// <summary>0.5 mm along the path, a narrow ring; 11 places across the strip.</summary>
    private const double EveryMm = 0.5;
    private const int Across = 5;

    public static BlemishCover Compute(SurfaceFrame plane, RadialPath path, double halfWidthMm, IReadOnlyList<BlemishFinding> blemishes)
    {
        var (width, height) = (plane.CornersMm.Max(c => c.X) * MaskPxPerMm, plane.CornersMm.Max(c => c.Y) * MaskPxPerMm);
        using var mask = new Mat((int)height + 2, (int)width + 2, MatType.CV_8UC1, Scalar.All(0));
        foreach (var blemish in blemishes.Where(b => b.Outline.Count >= 3))
        {
            Point[] outline = [.. blemish.Outline.Select(plane.ToMm).Select(p => new Point((int)Math.Round(p.X * MaskPxPerMm), (int)Math.Round(p.Y * MaskPxPerMm)))];
            Cv2.FillPoly(mask, [outline], Scalar.All(255));
            Cv2.Polylines(mask, [outline], true, Scalar.All(255), (2 * RimPx) + 1);
        }

        mask.GetArray(out byte[] covered);
        var share = new double[(int)(path.LengthMm / EveryMm) + 1];
        for (var i = 0; i < share.Length; i++)
        {
            var at = Math.Min(path.PointsMm.Length - 1, (int)Math.Round(i * EveryMm / path.StepMm));
            var (sin, cos) = Math.SinCos(path.TangentRad[at]);
            for (var k = -Across; k <= Across; k++)
            {
                var off = halfWidthMm * k / Across;
                var x = (int)Math.Round((path.PointsMm[at].X - (off * sin)) * MaskPxPerMm);
                var y = (int)Math.Round((path.PointsMm[at].Y + (off * cos)) * MaskPxPerMm);
                if (x >= 0 && y >= 0 && x < mask.Width && y < mask.Height && covered[(y * mask.Width) + x] != 0)
                    share[i] += 1.0 / ((2 * Across) + 1);
            }
        }

        return new BlemishCover(share, EveryMm);
    }

    /// <summary>Share of the strip that is covered at a place of the path.</summary>
    public double At(double mm) => Share[Math.Clamp((int)Math.Round(mm / StepMm), 0, Share.Length - 1)];

    /// <summary>Rings that the covered stretches would hold between two places of the path at a mean width, weighed by how much of the strip is covered.</summary>
    public double Rings(double fromMm, double toMm, double meanWidthMm)
    {
        var sum = 0.0;
        for (var i = 0; i < Share.Length; i++)
        {
            if (i * StepMm >= fromMm && i * StepMm <= toMm)
                sum += Share[i] * StepMm / meanWidthMm;
        }

        return sum;
    }
}
