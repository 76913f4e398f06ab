using GrainVision.Grading.Quantities;
using OpenCvSharp;

namespace GrainVision.Measuring.Scale.SteelRule;

/// <summary>A row of graduations followed as far as it goes, in photo pixels.</summary>
/// <param name="Middle">Where the spacing is known best, on the row's line.</param>
/// <param name="Along">Unit vector along the row.</param>
/// <param name="Across">Unit vector along the graduations, a quarter turn on from <paramref name="Along"/> or nearly so.</param>
/// <param name="SpacingPx">Between graduations at <paramref name="Middle"/>.</param>
/// <param name="FromPx">Start of the row along the line from <paramref name="Middle"/>, negative.</param>
/// <param name="ToPx">Its end, positive.</param>
internal sealed record TickBand(PointPx Middle, PointPx Along, PointPx Across, double SpacingPx, double FromPx, double ToPx)
{
    public double LengthPx => ToPx - FromPx;

    /// <summary>True where a seed lies on this row and has its spacing, or a multiple within reason.</summary>
    public bool Covers(PointPx p, double spacingPx)
    {
        var d = p - Middle;
        var along = (d.X * Along.X) + (d.Y * Along.Y);
        var across = Math.Abs((d.Y * Along.X) - (d.X * Along.Y));
        return along > FromPx - SpacingPx && along < ToPx + SpacingPx && across < 2.5 * SpacingPx
            && Math.Abs(Math.Log(spacingPx / SpacingPx)) < 0.3;
    }
}

/// <summary>Follows a row of graduations from a seed both ways and fits its line.</summary>
internal static class TickRowTracer
{
    /// <summary>Step of the walk, level pixels: windows of 64 px then overlap by more than half.</summary>
    private const int StepPx = 24;

    /// <summary>The row is found again at each step within this distance across: a direction wrong by 7 degrees is still followed.</summary>
    private const int AcrossPx = 3;

    /// <summary>Lower than for a seed: figures and glare disturb.</summary>
    private const double LeastShare = 0.4;

    /// <summary>Three steps without graduations (glare, a clamp) are walked over.</summary>
    private const int GreatestMisses = 3;

    private readonly record struct Step(double X, double Y, double Frequency, double Share);

    public static TickBand? Follow(Mat gray, BandSeed seed)
    {
        var spectrum = new TickSpectrum(gray);
        if (spectrum.At(seed.X, seed.Y, seed.DirectionRad) is not { } first)
            return null;
        var start = new Step(seed.X, seed.Y, first.FrequencyPerPx, first.Share);
        List<Step> steps = [start];
        Walk(spectrum, seed.DirectionRad, start, 1, steps);
        Walk(spectrum, seed.DirectionRad, start, -1, steps);
        return Fit(steps, seed);
    }

    private static void Walk(TickSpectrum spectrum, double direction, Step start, int sign, List<Step> steps)
    {
        var at = start;
        var heading = direction;
        List<Step> trail = [start];
        var misses = 0;
        while (misses <= GreatestMisses && trail.Count < 1000)
        {
            var (dy, dx) = Math.SinCos(heading);
            var x = at.X + (sign * StepPx * dx);
            var y = at.Y + (sign * StepPx * dy);
            Step? best = null;
            for (var across = -AcrossPx; across <= AcrossPx; across += AcrossPx)
            {
                if (spectrum.At(x - (across * dy), y + (across * dx), direction) is { } p
                    && p.Share >= LeastShare && Math.Abs((p.FrequencyPerPx / at.Frequency) - 1) < 0.1
                    && (best is not { } b || p.Share > b.Share))
                {
                    best = new Step(x - (across * dy), y + (across * dx), p.FrequencyPerPx, p.Share);
                }
            }

            if (best is { } found)
            {
                misses = 0;
                at = found with { Frequency = (0.5 * at.Frequency) + (0.5 * found.Frequency) };
                trail.Add(found);
                steps.Add(found);
                if (trail.Count >= 4)
                    heading = Math.Atan2(sign * (found.Y - trail[^4].Y), sign * (found.X - trail[^4].X));
            }
            else
            {
                misses++;
                at = at with { X = x, Y = y };
                if (x < 0 || y < 0)
                    break;
            }
        }
    }

    private static TickBand Fit(List<Step> steps, BandSeed seed)
    {
        var weight = steps.Sum(s => s.Share);
        var mx = steps.Sum(s => s.X * s.Share) / weight;
        var my = steps.Sum(s => s.Y * s.Share) / weight;
        double xx = 0, xy = 0, yy = 0;
        foreach (var s in steps)
        {
            xx += s.Share * (s.X - mx) * (s.X - mx);
            xy += s.Share * (s.X - mx) * (s.Y - my);
            yy += s.Share * (s.Y - my) * (s.Y - my);
        }

        // One or two steps say nothing of the line's direction; the graduations do.
        var direction = steps.Count >= 3 ? 0.5 * Math.Atan2(2 * xy, xx - yy) : seed.DirectionRad;
        var (dy, dx) = Math.SinCos(direction);
        if ((dx * Math.Cos(seed.DirectionRad)) + (dy * Math.Sin(seed.DirectionRad)) < 0)
            (dx, dy) = (-dx, -dy);
        double from = 0, to = 0;
        var best = steps[0];
        foreach (var s in steps)
        {
            var t = ((s.X - mx) * dx) + ((s.Y - my) * dy);
            from = Math.Min(from, t);
            to = Math.Max(to, t);
            if (s.Share > best.Share)
                best = s;
        }

        var along = ((best.X - mx) * dx) + ((best.Y - my) * dy);
        var k = 1 << seed.Level;
        const double half = TickSpectrum.Length / 2.0;
        return new TickBand(
            GrayPyramid.ToPhoto(new PointPx(mx + (along * dx), my + (along * dy)), seed.Level),
            new PointPx(dx, dy),
            new PointPx(-Math.Sin(seed.DirectionRad), Math.Cos(seed.DirectionRad)),
            k / best.Frequency,
            (from - along - half) * k,
            (to - along + half) * k);
    }
}
