using GrainVision.Grading.Quantities;

namespace GrainVision.Measuring.Rings;

/// <summary>A one-inch window of a radial path.</summary>
/// <param name="PerInch">Rings in it (or, where the path is shorter, the proportionate number).</param>
/// <param name="FromMm">Where it starts along the path.</param>
/// <param name="ToMm">Where it ends.</param>
internal readonly record struct InchWindow(double PerInch, double FromMm, double ToMm);

/// <summary>Rings per inch from boundary positions along a path.</summary>
internal static class RingArithmetic
{
    /// <summary>Rings per inch over the whole path: rings between first and last boundary over their distance.</summary>
    public static double PerInch(IReadOnlyList<double> boundariesMm) =>
        (boundariesMm.Count - 1) * Units.MmPerInch / (boundariesMm[^1] - boundariesMm[0]);

    /// <summary>
    /// The worst one-inch window (ANC-19 2.413: "in any 1 inch measured in a radial direction"): the fewest rings, parts of rings
    /// counted in proportion, in any window between the ends. Where the wood runs on beyond the last boundary for more than the
    /// ring before it, that stretch is one ring at least that wide, and counts as such: the wide ring at the edge is the one that matters.
    /// </summary>
    /// <param name="boundariesMm">Ascending, at least two.</param>
    /// <param name="startMm">Where the wood starts, at most the first boundary.</param>
    /// <param name="endMm">Where the wood ends, at least the last boundary.</param>
    public static InchWindow WorstInch(IReadOnlyList<double> boundariesMm, double startMm, double endMm)
    {
        var at = boundariesMm.ToList();
        if (at[0] - startMm > at[1] - at[0])
            at.Insert(0, startMm);
        if (endMm - at[^1] > at[^1] - at[^2])
            at.Add(endMm);
        var length = at[^1] - at[0];
        if (length <= Units.MmPerInch)
            return new InchWindow((at.Count - 1) * Units.MmPerInch / length, at[0], at[^1]);

        // The count is piecewise linear in the window's place: its minimum lies where one end meets a boundary.
        var worst = new InchWindow(double.MaxValue, 0, 0);
        foreach (var b in at)
        {
            foreach (var from in (double[])[b, b - Units.MmPerInch])
            {
                if (from < at[0] - 1e-9 || from + Units.MmPerInch > at[^1] + 1e-9)
                    continue;
                var count = Index(at, from + Units.MmPerInch) - Index(at, from);
                if (count < worst.PerInch)
                    worst = new InchWindow(count, from, from + Units.MmPerInch);
            }
        }

        return worst;
    }

    /// <summary>Ring number, with its fraction, at a place along the path.</summary>
    private static double Index(List<double> at, double mm)
    {
        var i = at.BinarySearch(mm);
        if (i >= 0)
            return i;
        i = Math.Clamp(~i, 1, at.Count - 1);
        return i - 1 + ((mm - at[i - 1]) / (at[i] - at[i - 1]));
    }
}
