using GrainVision.Measuring.Numerics;
using OpenCvSharp;

namespace GrainVision.Measuring.Slope;

/// <summary>
/// Finds where growth-ring figure changes the grey steeply, so that fibre streaks can be read between such places only: a ring's
/// edge is sharp, and would pass for a streak at any scale.
/// </summary>
/// <remarks>
/// The gradient of fibre texture alone is about normal, so its deviation shows in the lower quartile of all gradients, which ring edges hardly
/// move as long as they cover less than half of the face. Where rings stand too close for that nothing is told apart;
/// <see cref="FibreStreaks"/> sees that by the figure that is left.
/// </remarks>
internal static class RingEdges
{
    /// <summary>0.3 mm: scale of the gradient across the grain, coarser than the streaks, finer than a ring.</summary>
    private const double SigmaMm = 0.3;

    /// <summary>2: gradients beyond this many deviations of the texture's are taken for ring figure. At 3 edges of faint rings were left.</summary>
    private const double Deviations = 2;

    /// <summary>0.3186: lower quartile of the size of a normal variable, in standard deviations.</summary>
    private const double QuartilePerDeviation = 0.3186;

    /// <summary>0.38 mm: left out to either side of a steep place.</summary>
    private const double MarginMm = 0.38;

    /// <summary>CV_8UC1 of the strips' size, 255 on and beside ring edges; the caller disposes it.</summary>
    public static Mat Find(FaceStrips strips)
    {
        var sigma = Math.Max(0.7, SigmaMm * strips.RowsPerMm);
        using var smooth = new Mat();
        Cv2.GaussianBlur(strips.Grey, smooth, new Size(0, 0), 1.5, sigma);
        using var kernel = Mat.FromPixelData(3, 1, MatType.CV_32FC1, new[] { -0.5f, 0f, 0.5f });
        using var gradient = new Mat();
        Cv2.Filter2D(smooth, gradient, MatType.CV_32FC1, kernel);
        Cv2.Absdiff(gradient, Scalar.All(0), gradient);

        using var steep = new Mat();
        Cv2.Threshold(gradient, steep, Deviations * LowerQuartile(gradient, strips.Inside) / QuartilePerDeviation, 255, ThresholdTypes.Binary);
        var edges = new Mat();
        steep.ConvertTo(edges, MatType.CV_8UC1);
        using var margin = Cv2.GetStructuringElement(MorphShapes.Rect, new Size(1, (2 * (int)Math.Ceiling(MarginMm * strips.RowsPerMm)) + 1));
        Cv2.Dilate(edges, edges, margin);
        return edges;
    }

    private static double LowerQuartile(Mat gradient, Mat inside)
    {
        gradient.GetArray(out float[] values);
        inside.GetArray(out byte[] kept);
        var some = new List<double>((values.Length / 5) + 1);
        for (var i = 0; i < values.Length; i += 5)
        {
            if (kept[i] != 0)
                some.Add(values[i]);
        }

        return RobustStatistics.Quantile(some, 0.25);
    }
}
