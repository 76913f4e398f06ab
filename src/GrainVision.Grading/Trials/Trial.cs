using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;

namespace GrainVision.Grading.Trials;

/// <summary>Compares what was measured by hand with what photos of the same pieces gave. See <see cref="TrialAgreement"/> for the method.</summary>
public static class Trial
{
    /// <summary>4: with fewer pieces the standard deviation of their differences says next to nothing.</summary>
    private const int LeastPieces = 4;

    /// <param name="byHand">Hand measurements, each in the unit of its quantity.</param>
    /// <param name="photos">Photos of the pieces.</param>
    public static TrialReport Compare(IReadOnlyList<HandReading> byHand, IReadOnlyList<TrialPhoto> photos)
    {
        ArgumentNullException.ThrowIfNull(byHand);
        ArgumentNullException.ThrowIfNull(photos);
        return new TrialReport(
            photos.Select(p => p.Piece).Distinct(StringComparer.Ordinal).Count(),
            photos.Count,
            photos.Where(p => p.Refused is not null).GroupBy(p => p.Refused!, StringComparer.Ordinal).OrderBy(g => g.Key, StringComparer.Ordinal).ToDictionary(g => g.Key, g => g.Count()),
            [.. TrialQuantity.All.Where(q => byHand.Any(h => h.Quantity == q.Code)).Select(q => Of(q, byHand, photos))]);
    }

    private static TrialAgreement Of(TrialQuantity quantity, IReadOnlyList<HandReading> byHand, IReadOnlyList<TrialPhoto> photos)
    {
        var readings = byHand.Where(h => h.Quantity == quantity.Code).GroupBy(h => h.Piece, StringComparer.Ordinal).ToDictionary(g => g.Key, g => g.ToList(), StringComparer.Ordinal);
        var withinHand = Within([.. readings.Values.Select(r => (IReadOnlyList<double>)[.. r.Select(h => h.Value)])]);
        var hand = readings.ToDictionary(r => r.Key, r => Mean(r.Value, withinHand), StringComparer.Ordinal);
        var shown = photos.Where(p => p.Measurement is { } m && hand.ContainsKey(p.Piece) && m.View == quantity.View).ToList();
        var points = shown.Select(p => (Photo: p, Value: quantity.Read(p.Measurement!))).Where(x => x.Value is not null)
            .Select(x => new TrialPoint(x.Photo.Piece, x.Photo.Photo, hand[x.Photo.Piece], x.Value!.Value, Holds(hand[x.Photo.Piece], x.Value.Value))).ToList();
        var pieces = points.GroupBy(p => p.Piece, StringComparer.Ordinal)
            .Select(g => new Pair([.. readings[g.Key].Select(h => h.Value)], [.. g.Select(p => p.ByPhoto.Value)])).ToList();
        var holds = points.Count(p => p.Holds);
        var agreement = new TrialAgreement
        {
            Quantity = quantity.Code, Unit = quantity.Unit, Pieces = pieces.Count, Photos = shown.Count, Given = points.Count, Points = points,
            IntervalsHold = holds, HandIntervalKnown = points.Count > 0 && points.All(p => p.ByHand.High > p.ByHand.Value), IntervalShare = points.Count == 0 ? null : Wilson(holds, points.Count),
            PhotoRepeatability = Repeatability([.. pieces.Select(p => p.Photo)]), HandRepeatability = Repeatability([.. pieces.Select(p => p.Hand)]),
        };
        return pieces.Count < LeastPieces ? agreement : WithLimits(agreement, pieces);
    }

    /// <summary>Mean by hand with its interval: the one that the table gives, or what repeats show.</summary>
    private static Measured Mean(List<HandReading> readings, double? within)
    {
        var mean = readings.Average(h => h.Value);
        var half = readings.All(h => h.PlusMinus is not null) ? readings.Average(h => h.PlusMinus!.Value)
            : within is { } variance ? Measured.CoverageFactor * Math.Sqrt(variance / readings.Count)
            : 0;
        return new Measured(mean, mean - half, mean + half);
    }

    private static bool Holds(Measured hand, Measured photo)
    {
        var half = hand.Value > photo.Value ? photo.High - photo.Value : photo.Value - photo.Low;
        return Math.Abs(photo.Value - hand.Value) <= Math.Sqrt((half * half) + Math.Pow(hand.High - hand.Value, 2));
    }

    private static TrialAgreement WithLimits(TrialAgreement agreement, List<Pair> pieces)
    {
        double[] differences = [.. pieces.Select(p => p.Photo.Average() - p.Hand.Average())];
        var (n, bias) = (differences.Length, differences.Average());
        var ofMeans = differences.Sum(d => (d - bias) * (d - bias)) / (n - 1);
        // Means of repeats differ less than single measurements do: what the averaging took away is added again.
        var single = ofMeans + Averaged([.. pieces.Select(p => p.Photo)]) + Averaged([.. pieces.Select(p => p.Hand)]);
        var (sd, t) = (Math.Sqrt(single), StudentT(n - 1));
        var (ofBias, ofLimit) = (t * Math.Sqrt(ofMeans / n), t * Math.Sqrt(3 * single / n));
        Measured Around(double value, double half) => new(value, value - half, value + half);
        return agreement with
        {
            Bias = Around(bias, ofBias), DifferenceSd = sd,
            LowerLimit = Around(bias - (Measured.CoverageFactor * sd), ofLimit), UpperLimit = Around(bias + (Measured.CoverageFactor * sd), ofLimit),
        };
    }

    /// <summary>Variance within pieces times the share of it that taking means removed: 1 - 1/m for m repeats, mean over the pieces.</summary>
    private static double Averaged(IReadOnlyList<IReadOnlyList<double>> repeats) => (Within(repeats) ?? 0) * repeats.Average(r => 1 - (1.0 / r.Count));

    private static double? Repeatability(IReadOnlyList<IReadOnlyList<double>> repeats) =>
        Within(repeats) is { } variance ? Measured.CoverageFactor * Math.Sqrt(2 * variance) : null;

    /// <summary>Variance within pieces, pooled; null where none was measured twice.</summary>
    private static double? Within(IReadOnlyList<IReadOnlyList<double>> repeats)
    {
        var freedom = repeats.Sum(r => r.Count - 1);
        return freedom < 1 ? null : repeats.Sum(r => r.Average() is var mean ? r.Sum(v => (v - mean) * (v - mean)) : 0) / freedom;
    }

    private static Measured Wilson(int k, int n)
    {
        const double z = Measured.CoverageFactor;
        var (p, z2) = ((double)k / n, z * z);
        var middle = (p + (z2 / (2 * n))) / (1 + (z2 / n));
        var half = z / (1 + (z2 / n)) * Math.Sqrt((p * (1 - p) / n) + (z2 / (4.0 * n * n)));
        return new Measured(p, Math.Min(p, middle - half), Math.Max(p, middle + half));
    }

    /// <summary>97.5 % quantile of Student's t; M. Abramowitz, I. A. Stegun, Handbook of Mathematical Functions (1964) 26.7.5, off by under 0.4 % from 3 degrees of freedom on.</summary>
    private static double StudentT(int freedom)
    {
        const double z = Measured.CoverageFactor;
        var (z3, z5, z7, v) = (Math.Pow(z, 3), Math.Pow(z, 5), Math.Pow(z, 7), (double)freedom);
        return z + ((z3 + z) / (4 * v)) + (((5 * z5) + (16 * z3) + (3 * z)) / (96 * v * v)) + (((3 * z7) + (19 * z5) + (17 * z3) - (15 * z)) / (384 * v * v * v));
    }

    /// <summary>A piece's repeats by hand and by photo.</summary>
    private sealed record Pair(IReadOnlyList<double> Hand, IReadOnlyList<double> Photo);
}
