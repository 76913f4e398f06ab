namespace GrainVision.Measuring.Blemishes;

/// <summary>Quantiles of what a surface's pixels hold.</summary>
internal static class SurfaceSample
{
    /// <summary>Values of every third pixel inside: enough for a quantile.</summary>
    public static float[] Of(float[] values, byte[] inner)
    {
        var some = new List<float>((values.Length / 3) + 1);
        for (var i = 0; i < values.Length; i += 3)
        {
            if (inner[i] != 0)
                some.Add(values[i]);
        }

        return [.. some];
    }

    /// <summary>
    /// The value that sorting would put at a place, without sorting the rest; the values change places. C. A. R. Hoare, "Algorithm 65: find",
    /// Communications of the ACM 4(7), 1961, doi 10.1145/366622.366647.
    /// </summary>
    public static float Nth(float[] values, int place)
    {
        var (low, high) = (0, values.Length - 1);
        while (low < high)
        {
            var pivot = values[low + ((high - low) / 2)];
            var (i, j) = (low, high);
            while (i <= j)
            {
                while (values[i] < pivot)
                    i++;
                while (pivot < values[j])
                    j--;
                if (i > j)
                    continue;
                (values[i], values[j]) = (values[j], values[i]);
                i++;
                j--;
            }

            if (place <= j)
                high = j;
            else if (place >= i)
                low = i;
            else
                break;
        }

        return values[place];
    }
}
