using GrainVision.Grading.Quantities;

namespace GrainVision.Grading.Trials;

/// <summary>A photo of a piece that was also measured by hand.</summary>
/// <param name="Piece">Name of the piece.</param>
/// <param name="Photo">File name, or what else tells it.</param>
/// <param name="Measurement">Its answer; null where the photo was refused.</param>
/// <param name="Refused">Code of the refusal; null where there is an answer.</param>
public sealed record TrialPhoto(string Piece, string Photo, Findings.Measurement? Measurement, string? Refused);

/// <summary>A shop's own proof: the same pieces by hand and by photo.</summary>
/// <param name="Pieces">Pieces with photos.</param>
/// <param name="Photos">Photos of them.</param>
/// <param name="Refused">How many photos were refused, by code.</param>
/// <param name="Quantities">How hand and photo agree, for each quantity that was measured by hand.</param>
public sealed record TrialReport(int Pieces, int Photos, IReadOnlyDictionary<string, int> Refused, IReadOnlyList<TrialAgreement> Quantities);

/// <summary>One photo's value beside the hand's.</summary>
/// <param name="Piece">Name of the piece.</param>
/// <param name="Photo">File name.</param>
/// <param name="ByHand">Mean of the hand's values, with its interval where that is known.</param>
/// <param name="ByPhoto">Value and interval.</param>
/// <param name="Holds">True where they differ by no more than both intervals together allow (root of the sum of squares, JCGM 100).</param>
public sealed record TrialPoint(string Piece, string Photo, Measured ByHand, Measured ByPhoto, bool Holds);

/// <summary>How hand and photo agree on one quantity. Null where too few pieces were measured to say it.</summary>
/// <remarks>
/// J. M. Bland, D. G. Altman, "Statistical methods for assessing agreement between two methods of clinical measurement", Lancet i (1986) 307-310: bias, limits of agreement (1.96
/// standard deviations here, 2 there) with their standard errors, repeatability, and the correction for means of repeated measurements.
/// </remarks>
public sealed record TrialAgreement
{
    /// <summary>As in <see cref="HandReading.Quantity"/>.</summary>
    public required string Quantity { get; init; }

    /// <summary>rings/in, deg or mm.</summary>
    public required string Unit { get; init; }

    /// <summary>Pieces with both.</summary>
    public required int Pieces { get; init; }

    /// <summary>Photos of pieces that were measured by hand and whose view shows the quantity.</summary>
    public required int Photos { get; init; }

    /// <summary>How many of those gave it.</summary>
    public required int Given { get; init; }

    /// <summary>Mean of photo minus hand, with its 95 % confidence interval.</summary>
    public Measured? Bias { get; init; }

    /// <summary>Standard deviation of the difference between one photo and one measurement by hand.</summary>
    public double? DifferenceSd { get; init; }

    /// <summary>95 % of such differences lie above it, and below <see cref="UpperLimit"/>; each with its own 95 % confidence interval.</summary>
    public Measured? LowerLimit { get; init; }

    public Measured? UpperLimit { get; init; }

    /// <summary>Two photos of the same piece differ by less in 95 % of cases; null where no piece was photographed twice.</summary>
    public double? PhotoRepeatability { get; init; }

    /// <summary>The same by hand.</summary>
    public double? HandRepeatability { get; init; }

    /// <summary>How many of the photos' 95 % intervals hold what the hand found, the hand's own interval allowed for.</summary>
    public required int IntervalsHold { get; init; }

    /// <summary>True where the hand's own interval is known, from the table or from repeats.</summary>
    public required bool HandIntervalKnown { get; init; }

    /// <summary>That share, with its 95 % confidence interval (E. B. Wilson, JASA 22, 1927). Where the hand's interval is not known its error counts against the photo.</summary>
    public Measured? IntervalShare { get; init; }

    public required IReadOnlyList<TrialPoint> Points { get; init; }
}
