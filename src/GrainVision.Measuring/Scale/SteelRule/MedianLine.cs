namespace GrainVision.Measuring.Scale.SteelRule;

/// <summary>A straight line through most of the points: least absolute deviations, so that a third of them may lie anywhere.</summary>
internal sealed record MedianLine(double Offset, double Slope)
{
    public double At(double x) => Offset + (Slope * x);

    /// <summary>Fits by re-weighting; pairs with a NaN are left out. Null with fewer than 3 pairs.</summary>
    /// <param name="x">Places.</param>
    /// <param name="y">Values.</param>
    /// <param name="least">Distances below it count as this one: the noise of a good value.</param>
    public static MedianLine? Fit(double[] x, double[] y, double least = 0.05)
    {
        var use = Enumerable.Range(0, x.Length).Where(i => double.IsFinite(x[i]) && double.IsFinite(y[i])).ToArray();
        if (use.Length < 3)
            return null;
        var weights = new double[x.Length];
        Array.Fill(weights, 1.0);
        double offset = 0, slope = 0;
        for (var round = 0; round < 15; round++)
        {
            double w = 0, mx = 0, my = 0, xx = 0, xy = 0;
            foreach (var i in use)
            {
                w += weights[i];
                mx += weights[i] * x[i];
                my += weights[i] * y[i];
            }

            mx /= w;
            my /= w;
            foreach (var i in use)
            {
                xx += weights[i] * (x[i] - mx) * (x[i] - mx);
                xy += weights[i] * (x[i] - mx) * (y[i] - my);
            }

            slope = xx > 0 ? xy / xx : 0;
            offset = my - (slope * mx);
            foreach (var i in use)
                weights[i] = 1 / Math.Max(least, Math.Abs(y[i] - offset - (slope * x[i])));
        }

        return new MedianLine(offset, slope);
    }

    /// <summary>Half the range of the middle seven tenths of the distances: one in seven may be wrong on either side. NaN is left out.</summary>
    public double Scatter(double[] x, double[] y)
    {
        var d = Enumerable.Range(0, x.Length).Where(i => double.IsFinite(y[i])).Select(i => y[i] - At(x[i])).Order().ToArray();
        return d.Length < 3 ? double.PositiveInfinity : 0.5 * (d[(int)(0.85 * (d.Length - 1))] - d[(int)Math.Ceiling(0.15 * (d.Length - 1))]);
    }

    /// <summary>Mean distance, each counted up to a greatest one; NaN is left out.</summary>
    public double MeanDistance(double[] x, double[] y, double greatest) => Enumerable.Range(0, x.Length)
        .Where(i => double.IsFinite(y[i])).Select(i => Math.Min(greatest, Math.Abs(y[i] - At(x[i])))).DefaultIfEmpty(greatest).Average();
}
