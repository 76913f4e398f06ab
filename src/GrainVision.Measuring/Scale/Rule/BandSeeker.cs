using OpenCvSharp;

namespace GrainVision.Measuring.Scale.Rule;

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
internal static class BandSeeker
{
    /// <summary>12 grey levels squared: graduations too faint to see against sensor noise of 2 to 3 levels lie below it.</summary>
    private const float LeastEnergy = 12;

    /// <summary>Ticks change the brightness across them only; at their ends and at figures less so.</summary>
    private const float LeastCoherence = 0.5f;

    /// <summary>Chosen on drawn rules with blur of 1.5 px (0.6 and more) against wood textures (mostly under 0.5).</summary>
    private const double LeastShare = 0.55;

    /// <summary>At most so many lines analysed in a level: bounds the time on a photo full of texture.</summary>
    private const int GreatestTries = 6000;

    /// <summary>At most so many seeds kept in a level.</summary>
    private const int GreatestSeeds = 60;

    public static List<BandSeed> Find(Mat gray, int level)
    {
        var blocks = new GradientBlocks(gray);
        var candidates = Candidates(blocks);
        var spectrum = new TickSpectrum(gray);
        var found = new Periodicity?[blocks.Columns * blocks.Rows];
        var places = new List<int>();
        var step = Math.Max(1, (candidates.Count + GreatestTries - 1) / GreatestTries);
        for (var i = 0; i < candidates.Count; i += step)
        {
            var block = candidates[i];
            var (x, y) = Middle(blocks, block);
            if (spectrum.At(x, y, blocks.DirectionRad(block)) is not { } p || p.Share < LeastShare)
                continue;
            found[block] = p;
            places.Add(block);
        }

        return places
            .Select(b => Seed(blocks, spectrum, found[b]!.Value, b, level))
            .OrderByDescending(s => s.Support)
            .Take(GreatestSeeds)
            .Where(s => s.Support >= 1)
            .ToList();
    }

    private static List<int> Candidates(GradientBlocks blocks)
    {
        var all = new List<int>();
        for (var b = 0; b < blocks.Columns * blocks.Rows; b++)
        {
            if (blocks.Energy(b) >= LeastEnergy && blocks.Coherence(b) >= LeastCoherence)
                all.Add(b);
        }

        return all;
    }

    private static (double X, double Y) Middle(GradientBlocks blocks, int block) =>
        (((block % blocks.Columns) * GradientBlocks.Side) + ((GradientBlocks.Side - 1) / 2.0),
         ((block / blocks.Columns) * GradientBlocks.Side) + ((GradientBlocks.Side - 1) / 2.0));

    /// <summary>Looks half a window and a whole one to both sides: a row of graduations goes on, a chance resemblance does not.</summary>
    private static BandSeed Seed(GradientBlocks blocks, TickSpectrum spectrum, Periodicity p, int block, int level)
    {
        var (x, y) = Middle(blocks, block);
        var direction = blocks.DirectionRad(block);
        var (dy, dx) = Math.SinCos(direction);
        var support = p.Share;
        foreach (var along in (ReadOnlySpan<int>)[-64, -32, 32, 64])
        {
            if (spectrum.At(x + (along * dx), y + (along * dy), direction) is { } q
                && Math.Abs((q.FrequencyPerPx / p.FrequencyPerPx) - 1) < 0.08)
            {
                support += q.Share;
            }
        }

        return new BandSeed(level, x, y, direction, p.FrequencyPerPx, support);
    }
}
