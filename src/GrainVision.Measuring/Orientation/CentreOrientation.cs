using GrainVision.Measuring.Numerics;
using GrainVision.Measuring.Section;
using OpenCvSharp;

namespace GrainVision.Measuring.Orientation;

/// <summary>Direction of the rings at the middle of a section against a fitted field.</summary>
/// <param name="NormalRad">Direction of the normal, rad.</param>
/// <param name="UncertaintyRad">Standard uncertainty from how the parts of the patch disagree, rad.</param>
/// <param name="Semblance">How much of the figure in the patch runs along the lines found, 0 to 1.</param>
internal sealed record CentreOrientation(double NormalRad, double UncertaintyRad, double Semblance)
{
    /// <summary>6 mm, or a quarter of the short side: the ring angle "at the middle" is the mean over a disc of this radius.</summary>
    private const double DiscMm = 6;

    /// <summary>9 mm to both sides along the radius: two boundaries at least of the widest rings that a rule lets pass.</summary>
    private const double AlongMm = 9;

    /// <summary>0.16 (9°): greatest departure from the field that is looked for.</summary>
    private const double SteepestSlant = 0.16;

    /// <summary>0.004: step of the search; its maximum is placed by a parabola.</summary>
    private const double SlantStep = 0.004;

    /// <summary>2.5 mm: slower changes than that are light and colour, not rings.</summary>
    private const double ShadingSigmaMm = 2.5;

    /// <summary>5: parts of the patch along the radius, each judged by itself for the uncertainty.</summary>
    private const int Parts = 5;

    /// <summary>
    /// Lays the wood round the middle straight along the field, stacks it along lines of many slants and takes the slant whose stack has the most contrast.
    /// Saw marks and rays that cross the rings cancel in the stack, where they would turn a structure tensor; and the rings' waviness, which a smooth
    /// field evens out, is followed.
    /// </summary>
    /// <remarks>The slant stack of seismic work: R. H. Stoffa et al., Geophysics 46(3), 1981, doi 10.1190/1.1441200; semblance as in
    /// N. S. Neidell and M. T. Taner, Geophysics 36(3), 1971, doi 10.1190/1.1440186.</remarks>
    /// <returns>Null where there is no room for a patch.</returns>
    public static CentreOrientation? Find(RectifiedSurface raster, RingField field)
    {
        var plane = raster.Plane;
        var acrossMm = Math.Min(DiscMm, Math.Min(plane.FirstSideMm, plane.SecondSideMm) / 4);
        var whole = RadialPath.Follow(field, plane, plane.MiddleMm, 1 / raster.PitchPxPerMm, 1 / raster.PitchPxPerMm);
        var middle = Nearest(whole, plane.MiddleMm);
        var reach = (int)(AlongMm / whole.StepMm);
        var (from, to) = (Math.Max(0, middle - reach), Math.Min(whole.PointsMm.Length - 1, middle + reach));
        if ((to - from) * whole.StepMm < AlongMm / 2)
            return null;
        var path = new RadialPath(whole.PointsMm[from..(to + 1)], whole.TangentRad[from..(to + 1)], whole.StepMm);
        using var strip = UnrolledStrip.Along(raster, field, path, acrossMm);
        var patch = Patch.From(strip);
        var weights = patch.Columns(middle - from, acrossMm * raster.PitchPxPerMm);

        var stacks = new List<double[]>();
        for (var slant = -SteepestSlant; slant <= SteepestSlant + 1e-9; slant += SlantStep)
            stacks.Add(patch.PowerAt(slant));
        var (best, top) = Peak(stacks, weights, 0, patch.Width);
        var deviations = new List<(double Slant, double Weight)>();
        for (var part = 0; part < Parts; part++)
        {
            var (a, b) = (part * patch.Width / Parts, (part + 1) * patch.Width / Parts);
            var (slant, power) = Peak(stacks, weights, a, b);
            if (power > 0)
                deviations.Add((slant - best, power));
        }

        var sum = deviations.Sum(d => d.Weight);
        var effective = sum * sum / deviations.Sum(d => d.Weight * d.Weight);
        var spread = Math.Sqrt(deviations.Sum(d => d.Weight * d.Slant * d.Slant) / sum);
        var semblance = top / patch.RowPower(weights);
        var turn = Math.Cos(path.TangentRad[middle - from] - field.NormalRad(plane.MiddleMm)) > 0 ? -1 : 1;
        return new CentreOrientation(field.NormalRad(plane.MiddleMm) + (turn * Math.Atan(best)), spread / Math.Sqrt(Math.Max(1, effective - 1)), semblance);
    }

    private static int Nearest(RadialPath path, Point2d p)
    {
        var best = 0;
        for (var i = 1; i < path.PointsMm.Length; i++)
        {
            if (path.PointsMm[i].DistanceTo(p) < path.PointsMm[best].DistanceTo(p))
                best = i;
        }

        return best;
    }

    private static (double Slant, double Power) Peak(List<double[]> stacks, double[] weights, int from, int to)
    {
        var power = new double[stacks.Count];
        for (var s = 0; s < power.Length; s++)
        {
            for (var x = from; x < to; x++)
                power[s] += weights[x] * stacks[s][x];
        }

        var at = Array.IndexOf(power, power.Max());
        return (((Profile.Vertex(power, at)) * SlantStep) - SteepestSlant, power[at]);
    }

    /// <summary>The straightened wood without its slow changes; rows are 2 columns' worth apart.</summary>
    private sealed class Patch(float[] value, float[] inside, int width, int height, int centreRow)
    {
        private readonly double _sigmaRows = 0.6 * centreRow;

        public int Width => width;

        public static Patch From(UnrolledStrip strip)
        {
            using var slow = new Mat();
            var sigma = ShadingSigmaMm * strip.PitchPxPerMm;
            Cv2.GaussianBlur(strip.Grey, slow, new Size(0, 0), sigma, sigma / 2, BorderTypes.Reflect);
            using var fast = new Mat();
            Cv2.Subtract(strip.Grey, slow, fast);
            fast.GetArray(out float[] value);
            strip.Inside.GetArray(out float[] inside);
            return new Patch(value, inside, strip.Grey.Width, strip.Grey.Height, strip.CentreRow);
        }

        /// <summary>Weight of each column: the disc's, but never so narrow that it holds no ring.</summary>
        public double[] Columns(int middle, double discPx)
        {
            var weights = new double[width];
            for (var x = 0; x < width; x++)
                weights[x] = Math.Exp(-0.5 * Math.Pow((x - middle) / Math.Max(discPx, width / 4.0), 2));
            return weights;
        }

        /// <summary>Squared stack of each column along lines that lean by <paramref name="slant"/>.</summary>
        public double[] PowerAt(double slant)
        {
            var sum = new double[width];
            var total = new double[width];
            for (var y = 0; y < height; y++)
            {
                var w = RowWeight(y);
                var shift = slant * 2 * (y - centreRow);
                var whole = (int)Math.Floor(shift);
                var part = (float)(shift - whole);
                var row = y * width;
                for (var x = Math.Max(0, -whole); x < Math.Min(width, width - 1 - whole); x++)
                {
                    var i = row + x + whole;
                    if (inside[i] < 0.5f || inside[i + 1] < 0.5f)
                        continue;
                    sum[x] += w * (value[i] + (part * (value[i + 1] - value[i])));
                    total[x] += w;
                }
            }

            var full = Enumerable.Range(0, height).Sum(RowWeight);
            for (var x = 0; x < width; x++)
                sum[x] = total[x] > 0.5 * full ? sum[x] * sum[x] / (total[x] * total[x]) : 0;
            return sum;
        }

        /// <summary>Mean square of the rows themselves, weighed as the stacks are: what a stack would hold if all rows were alike.</summary>
        public double RowPower(double[] weights)
        {
            var (sum, full) = (1e-9, 0.0);
            for (var y = 0; y < height; y++)
            {
                full += RowWeight(y);
                for (var x = 0; x < width; x++)
                    sum += inside[(y * width) + x] > 0.5f ? RowWeight(y) * weights[x] * value[(y * width) + x] * value[(y * width) + x] : 0;
            }

            return sum / full;
        }

        private double RowWeight(int y) => Math.Exp(-0.5 * Math.Pow((y - centreRow) / _sigmaRows, 2));
    }
}
