using GrainVision.Grading.Quantities;
using OpenCvSharp;

namespace GrainVision.Measuring.Scale.SteelRule;

/// <summary>A place that looks like a row of graduations, at one level of the pyramid.</summary>
/// <param name="Level">Of the pyramid.</param>
/// <param name="X">Level pixels.</param>
/// <param name="Y">Level pixels.</param>
/// <param name="DirectionRad">Along the row, across the graduations.</param>
/// <param name="FrequencyPerPx">Graduations per level pixel.</param>
/// <param name="Support">How many places in line with it repeat the same period.</param>
internal sealed record BandSeed(int Level, double X, double Y, double DirectionRad, double FrequencyPerPx, double Support);

/// <summary>
/// Finds where rows of graduations may lie: blocks whose brightness changes in one direction only, periodically, with
/// neighbours along that direction that do the same. Growth rings give some too; the reading of the graduations throws them out.
/// </summary>
internal static class TickRowDetector
{
    /// <summary>12 grey levels squared: graduations too faint to see against sensor noise of 2 to 3 levels lie below it.</summary>
    private const float LeastEnergy = 12;

    /// <summary>Ticks change the brightness across them only; at their ends and at figures less so.</summary>
    private const float LeastCoherence = 0.5f;

    /// <summary>Chosen on drawn rules with blur of 1.5 px (0.6 and more) against wood textures (mostly under 0.5).</summary>
    private const double LeastShare = 0.55;

    /// <summary>0.04 of a spacing: how well graduations keep step over two windows, with perspective.</summary>
    private const double SlipCycles = 0.04;

    /// <summary>At most so many lines analysed in a level: bounds the time on a photo full of texture.</summary>
    private const int GreatestTries = 6000;

    /// <summary>At most so many seeds kept in a level.</summary>
    private const int GreatestSeeds = 120;

    /// <summary>One window that shows the period and a neighbour that keeps step with it, or nearly.</summary>
    private const double LeastSupport = 0.5;

    /// <summary>Spacings: beyond all but the longest graduations, and as far again.</summary>
    private static readonly double[] AcrossSpacings = [4, 7, 10];

    /// <summary>Lower than for a seed: wood need not be as even there.</summary>
    private const double LeastShareAcross = 0.45;

    /// <param name="gray">The level's pixels.</param>
    /// <param name="level">Its number.</param>
    /// <param name="isPrinted">True for a place (photo px) that may be printed bands: those are so many that they would crowd a rule out.</param>
    public static List<BandSeed> Find(Mat gray, int level, Func<PointPx, bool> isPrinted)
    {
        var blocks = new StructureTensorGrid(gray);
        var candidates = Candidates(blocks);
        var spectrum = new TickSpectrum(gray);
        var found = new Periodicity?[blocks.Columns * blocks.Rows];
        var places = new List<int>();
        foreach (var block in candidates)
        {
            var (x, y) = Middle(blocks, block);
            if (spectrum.At(x, y, blocks.DirectionRad(block)) is not { } p || p.Share < LeastShare)
                continue;
            found[block] = p;
            places.Add(block);
        }

        return places
            .Select(b => Seed(blocks, spectrum, found[b]!.Value, b, level))
            .Where(s => s.Support >= LeastSupport)
            .GroupBy(s => isPrinted(GrayPyramid.ToPhoto(new PointPx(s.X, s.Y), level)))
            .SelectMany(g => g.OrderByDescending(s => s.Support).Take(GreatestSeeds))
            .OrderByDescending(s => s.Support)
            .ToList();
    }

    /// <summary>Blocks worth a closer look: where there are too many, the strongest half of them and every n-th of the rest.</summary>
    private static List<int> Candidates(StructureTensorGrid blocks)
    {
        var all = new List<int>();
        for (var b = 0; b < blocks.Columns * blocks.Rows; b++)
        {
            if (blocks.Energy(b) >= LeastEnergy && blocks.Coherence(b) >= LeastCoherence)
                all.Add(b);
        }

        if (all.Count <= GreatestTries)
            return all;
        var strongest = all.OrderByDescending(blocks.Energy).ToList();
        var kept = strongest.GetRange(0, GreatestTries / 2);
        var step = (strongest.Count - kept.Count) / (double)(GreatestTries / 2);
        for (double i = kept.Count; i < strongest.Count; i += step)
            kept.Add(strongest[(int)i]);
        return kept;
    }

    private static (double X, double Y) Middle(StructureTensorGrid blocks, int block) =>
        (((block % blocks.Columns) * StructureTensorGrid.Side) + ((StructureTensorGrid.Side - 1) / 2.0),
         ((block / blocks.Columns) * StructureTensorGrid.Side) + ((StructureTensorGrid.Side - 1) / 2.0));

    /// <summary>
    /// Looks half a window and a whole one to both sides: a row of graduations goes on in step, a chance resemblance does not.
    /// </summary>
    private static BandSeed Seed(StructureTensorGrid blocks, TickSpectrum spectrum, Periodicity p, int block, int level)
    {
        var (x, y) = Middle(blocks, block);
        var direction = blocks.DirectionRad(block);
        var (dy, dx) = Math.SinCos(direction);
        var support = p.Share;
        Span<double> places = stackalloc double[4];
        Span<double> slips = stackalloc double[4];
        var count = 0;
        foreach (var along in (ReadOnlySpan<int>)[-64, -32, 32, 64])
        {
            if (spectrum.At(x + (along * dx), y + (along * dy), direction) is not { } q
                || Math.Abs((q.FrequencyPerPx / p.FrequencyPerPx) - 1) >= 0.08)
            {
                continue;
            }

            support += q.Share;
            var slip = q.PhaseCycles - p.PhaseCycles - (p.FrequencyPerPx * along);
            places[count] = along;
            slips[count++] = slip - Math.Round(slip);
        }

        return new BandSeed(level, x, y, direction, p.FrequencyPerPx, support * InStep(places[..count], slips[..count]) * EndsAcross(spectrum, x, y, direction, p));
    }

    /// <summary>
    /// Graduations end across the row on both sides (but for the few longest); growth rings, saw marks and printed bands go on. 1 for a row that ends on both, 0.2 for one that goes on.
    /// </summary>
    private static double EndsAcross(TickSpectrum spectrum, double x, double y, double direction, Periodicity p)
    {
        var (dy, dx) = Math.SinCos(direction);
        Span<int> seen = [0, 0];
        for (var side = 0; side < 2; side++)
        {
            foreach (var spacings in AcrossSpacings)
            {
                var off = (side == 0 ? spacings : -spacings) / p.FrequencyPerPx;
                if (spectrum.At(x - (off * dy), y + (off * dx), direction) is { } q && q.Share >= LeastShareAcross && Math.Abs((q.FrequencyPerPx / p.FrequencyPerPx) - 1) < 0.15)
                    seen[side]++;
            }
        }

        return 1 - (0.8 * Math.Max(seen[0], seen[1]) / AcrossSpacings.Length);
    }

    /// <summary>1 where the phases run in step but for a slightly different period, less where they wander as growth rings do.</summary>
    private static double InStep(ReadOnlySpan<double> places, ReadOnlySpan<double> slips)
    {
        if (places.Length < 2)
            return 0.5;
        double xx = 0, xy = 0, left = 0;
        for (var i = 0; i < places.Length; i++)
        {
            xx += places[i] * places[i];
            xy += places[i] * slips[i];
        }

        for (var i = 0; i < places.Length; i++)
            left += Math.Pow(slips[i] - (xy / xx * places[i]), 2) / (places.Length - 1);
        return 1 / (1 + (left / (SlipCycles * SlipCycles)));
    }
}
