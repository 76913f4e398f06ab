using GrainVision.Measuring.Numerics;

namespace GrainVision.Measuring.Rings;

/// <summary>Ring boundaries along a strip.</summary>
/// <param name="AtPx">Positions along the strip's columns, ascending, sub-pixel.</param>
/// <param name="Support">Share of the bands that show each boundary, 0 to 1.</param>
/// <param name="Polarity">+1: dark to light in path order; -1: light to dark.</param>
/// <param name="PolaritySure">True where the steps, or else the rings' curvature, tell the polarity, and neither contradicts the other.</param>
/// <param name="CountDeviation">Standard deviation of the number of boundaries.</param>
/// <param name="CountBias">Expected number minus the number chosen: positive where rings were probably missed.</param>
/// <param name="Dropped">Boundaries of the whole strip that too few bands show: strokes of a stamp or pencil, or a knot's shadow.</param>
internal sealed record Boundaries(
    double[] AtPx, double[] Support, int Polarity, bool PolaritySure, double CountDeviation, double CountBias, int Dropped)
{
    /// <summary>0.75: a boundary that fewer bands show is weak; 11 % of true ones are, and 89 % of false ones (4,801 drawn boundaries).</summary>
    public const double WeakBelow = 0.75;

    /// <summary>Boundaries kept that are weak.</summary>
    public int Weak => Support.Count(s => s < WeakBelow);

    /// <summary>Mean support: how far parallel paths agree.</summary>
    public double Agreement => Support.Length == 0 ? 0 : Support.Average();
}

/// <summary>
/// Finds the ring boundaries of a strip: steps of the sharper polarity, weighed by their height and by how regular
/// they make the ring widths, then checked band by band.
/// </summary>
internal static class BoundaryFinder
{
    /// <summary>
    /// 0.04 mm, at least 0.45 samples: blur scale of the first pass. The strip's averaging has removed most noise by then, and more blur melts rings of 3 to 5 px:
    /// at 0.08 mm and 0.9 samples twice as many were missed.
    /// </summary>
    private const double FineSigmaMm = 0.04;
    private const double LeastFineSigmaPx = 0.45;

    /// <summary>
    /// 0.6 samples and 0.05: blur and least lopsidedness at which the profile itself tells which way its steps are sharper. On 283 drawn ends one told
    /// it wrong (ash at 6 px a ring, 0.02); with more blur fine rings look alike from both sides.
    /// </summary>
    private const double PolaritySigmaPx = 0.6;
    private const double LeastLopsided = 0.05;

    /// <summary>0.06: blur scale of the second pass as a share of the local ring width; a latewood band is some five times that.</summary>
    private const double SigmaPerRing = 0.06;

    /// <summary>
    /// 0.5: a growth ring crosses the whole strip; what fewer than half of the bands show is dropped. On drawn ends that took 46 of 82 false
    /// boundaries, most of them strokes of stamps, and 64 of 4,719 true ones. A ring too few holds or rejects; a ring too many might accept.
    /// </summary>
    private const double LeastSupport = 0.5;

    /// <summary>12 samples: where a quarter of an end's rings are narrower, the profiles are sharpened, by 1.5 second differences: a period of 3 samples stands
    /// 5.5 times as high then, one of 12 samples 1.4 times.</summary>
    private const double SharpBelowPx = 12;
    private const double NarrowShare = 0.25;
    private const double Sharpening = 1.5;

    /// <summary>
    /// 0.12 mm: a "boundary" nearer to the rim is often the dark arris (25 were, nearer than 0.2 mm, on 167 drawn ends; some 18 rings would be expected there by their mean width), and what is left of the
    /// cut ring would then count as a whole one: a ring too many. Left out, the rings that stay are whole either way. Not 0.2, since from 0.15 on a real ring of the gate's set is lost, though 0.2 did
    /// better on 180 others (seeds 72000-72179: F1 0.958 against 0.950).
    /// </summary>
    private const double RimMm = 0.12;

    /// <param name="bands">Profiles.</param>
    /// <param name="expected">Polarity that the rings' curvature and the species make likely, +1 or -1; 0 where the rings are too straight to say.</param>
    public static Boundaries? Find(RingBands bands, int expected = 0)
    {
        var pitch = bands.PitchPxPerMm;
        var sigma = FineSigmaPx(pitch);
        var lopsided = Lopsidedness(bands.Whole);
        var told = Math.Abs(lopsided) >= LeastLopsided;
        var polarity = told || expected == 0 ? lopsided >= 0 ? 1 : -1 : expected;
        var sure = expected == 0 ? told : polarity == expected;

        Pass? pass = null;
        for (var round = 0; round < 3; round++)
        {
            pass = Run(bands.Whole, polarity, sigma, pitch, pass);
            if (pass is null)
                return null;
            if (round == 0 && bands.Middle is not null && RobustStatistics.Quantile(Widths(pass.At), NarrowShare) < SharpBelowPx)
                bands = Sharpened(bands);
            sigma = Math.Max(sigma, SigmaPerRing * RobustStatistics.Quantile(Widths(pass.At), 0.5));
        }

        var support = Support(bands, pass!.At, polarity, sigma);
        var kept = Enumerable.Range(0, support.Length).Where(i => support[i] >= LeastSupport).ToArray();
        var dropped = support.Length - kept.Length;
        var placed = Place(bands, [.. kept.Select(i => pass.At[i])], polarity, sigma);
        if (bands.Middle is not null)
        {
            var inside = Enumerable.Range(0, kept.Length).Where(i => Math.Min(placed[i], bands.Whole.Length - 1 - placed[i]) >= RimMm * pitch).ToArray();
            (kept, placed) = ([.. inside.Select(i => kept[i])], [.. inside.Select(i => placed[i])]);
        }

        return new Boundaries(
            placed, [.. kept.Select(i => support[i])], polarity, sure,
            pass.Sequence.CountDeviation, pass.Sequence.CountMean - pass.At.Length, dropped);
    }

    private static Pass? Run(double[] profile, int polarity, double sigma, double pitch, Pass? before)
    {
        var candidates = BoundaryCandidates.Find(profile, polarity, sigma);
        if (candidates.Count < 3)
            return null;
        var at = candidates.Select(c => c.AtPx).ToArray();
        var typical = before is null
            ? [.. Enumerable.Repeat(BoundaryCandidates.TypicalStep(candidates), at.Length)]
            : LocalStep(at, before);
        var logOdds = candidates.Select((c, i) => LogOdds(c.Step / typical[i])).ToArray();
        var leastWidthPx = Math.Max(2.5, 0.12 * pitch);
        var sequence = BoundarySequence.Choose(at, logOdds, leastWidthPx);
        if (sequence.Chosen.Length < 3)
            return null;
        return new Pass([.. sequence.Chosen.Select(i => at[i])], [.. sequence.Chosen.Select(i => candidates[i].Step)], sequence);
    }

    /// <summary>
    /// Log odds that a step of this height, relative to its neighbours' typical height, is a ring boundary: even at 0.22, rising
    /// by 8 with each factor e, held between -12 and 12. On drawn ends true boundaries stand at 0.4 to 1.3 and chance at 0.02, since
    /// the strip has averaged it away; what lies between are false rings and true ones with weak latewood. An unlikely ratio of widths costs
    /// 4 to 9, so a clear boundary stays however odd its ring is, and a doubtful one must fit in.
    /// </summary>
    private static double LogOdds(double relative) => Math.Clamp(8 * (Math.Log(Math.Max(relative, 1e-3)) - Math.Log(0.22)), -12, 12);

    /// <summary>Typical step height near each candidate: median over the seven chosen boundaries nearest to it.</summary>
    private static double[] LocalStep(double[] at, Pass before)
    {
        var result = new double[at.Length];
        for (var i = 0; i < at.Length; i++)
        {
            var nearest = Array.BinarySearch(before.At, at[i]);
            nearest = nearest < 0 ? ~nearest : nearest;
            var from = Math.Clamp(nearest - 3, 0, Math.Max(0, before.At.Length - 7));
            var near = before.Step.Skip(from).Take(7).Order().ToArray();
            result[i] = near[near.Length / 2];
        }

        return result;
    }

    /// <summary>Blur scale of the first pass, samples.</summary>
    public static double FineSigmaPx(double pitchPxPerMm) => Math.Max(LeastFineSigmaPx, FineSigmaMm * pitchPxPerMm);

    /// <summary>
    /// How much sharper the rising steps are than the falling ones, -1 to 1: the sum of cubed derivatives over that of their sizes, in which a few
    /// sharp steps outweigh many gentle ones.
    /// </summary>
    private static double Lopsidedness(double[] profile)
    {
        var cubes = Profile.Derivative(Profile.Smooth(profile, PolaritySigmaPx)).Select(d => d * d * d).ToArray();
        return cubes.Sum() / Math.Max(1e-9, cubes.Sum(Math.Abs));
    }

    private static double[] Support(RingBands bands, double[] at, int polarity, double sigma)
    {
        var support = new double[at.Length];
        var asked = new int[at.Length];
        for (var b = 0; b < bands.Bands.Length; b++)
        {
            var found = BoundaryCandidates.Find(bands.Bands[b], polarity, sigma);
            var typical = BoundaryCandidates.TypicalStep(found);
            for (var i = 0; i < at.Length; i++)
            {
                if (bands.Seen is { } seen && !seen[b][Math.Clamp((int)Math.Round(at[i]), 0, seen[b].Length - 1)])
                    continue;
                asked[i]++;
                if (Matches(Math.Max(1.5, Reach(bands, at, i)), found, typical, at[i]).Any())
                    support[i]++;
            }
        }

        for (var i = 0; i < at.Length; i++)
            support[i] /= Math.Max(1, asked[i]);

        return support;
    }

    /// <summary>Each boundary where the middle of the strip shows it; where it does not, as the whole strip does.</summary>
    private static double[] Place(RingBands bands, double[] at, int polarity, double sigma)
    {
        if (bands.Middle is not { } middle)
            return at;
        var found = BoundaryCandidates.Find(middle, polarity, sigma);
        var typical = BoundaryCandidates.TypicalStep(found);
        var placed = new double[at.Length];
        for (var i = 0; i < at.Length; i++)
        {
            placed[i] = Matches(Reach(bands, at, i), found, typical, at[i]).Select(c => c.AtPx).DefaultIfEmpty(at[i]).MinBy(x => Math.Abs(x - at[i]));
        }

        return placed;
    }

    /// <summary>How far from a boundary a step still is the same one: 0.3 of the narrower ring beside it, half a millimetre at most; samples.</summary>
    private static double Reach(RingBands bands, double[] at, int i)
    {
        var width = Math.Min(i > 0 ? at[i] - at[i - 1] : double.MaxValue, i + 1 < at.Length ? at[i + 1] - at[i] : double.MaxValue);
        return Math.Min(0.3 * width, 0.5 * bands.PitchPxPerMm);
    }

    /// <summary>Steps of a quarter of the usual height and more within reach of a boundary.</summary>
    private static IEnumerable<BoundaryCandidate> Matches(double reach, IEnumerable<BoundaryCandidate> found, double typical, double atPx) =>
        found.Where(c => Math.Abs(c.AtPx - atPx) <= reach && c.Step > 0.25 * typical);

    /// <summary>
    /// The profiles with their fine detail raised, as far as a blurred photo has lost it: the second difference is taken off (unsharp masking). Steps of rings of three
    /// pixels stand a tenth as high as those of wide ones beside them, and would be taken for chance.
    /// </summary>
    private static RingBands Sharpened(RingBands bands)
    {
        static double[] Sharp(double[] p) => [.. p.Select((v, i) => v - (Sharpening * (p[Math.Max(0, i - 1)] - (2 * v) + p[Math.Min(p.Length - 1, i + 1)])))];
        return bands with { Whole = Sharp(bands.Whole), Bands = [.. bands.Bands.Select(Sharp)], Middle = bands.Middle is { } middle ? Sharp(middle) : null };
    }

    private static IEnumerable<double> Widths(double[] at) => at.Zip(at.Skip(1), (a, b) => b - a);

    private sealed record Pass(double[] At, double[] Step, BoundarySequence Sequence);
}
