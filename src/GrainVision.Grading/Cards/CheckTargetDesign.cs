using GrainVision.Grading.Quantities;

namespace GrainVision.Grading.Cards;

/// <summary>Bands of one check target.</summary>
/// <param name="PitchMm">From one sharp late-to-early step to the next, along their normal, mm.</param>
/// <param name="AngleDegrees">Between the bands and the block's long side, degrees, 0 to 90.</param>
public sealed record TargetBands(double PitchMm, double AngleDegrees)
{
    /// <summary>Rings per inch that they stand for.</summary>
    public double PerInch => Units.MmPerInch / PitchMm;
}

/// <summary>
/// Geometry of the printed check target: a block of ring-like bands, the scale card below it, and beside the card a marker that says which
/// bands were printed. Millimetres; origin at the card's top-left corner, x to the right, y down.
/// </summary>
public static class CheckTargetDesign
{
    /// <summary>130 mm: fills a phone's picture together with the card at 20 px a mm, where bands of 1 mm are still 20 px wide.</summary>
    public const double BlockLengthMm = 130;

    /// <summary>60 mm: 2 in stock and a little.</summary>
    public const double BlockHeightMm = 60;

    /// <summary>10 mm of white between block and card: the outline of the block must stand free.</summary>
    public const double GapMm = 10;

    /// <summary>12 mm: cells of 2 mm, so that the marker reads wherever the card does (cells of 1.25 mm).</summary>
    public const double MarkerMm = 12;

    /// <summary>First of the marker ids of <see cref="Listed"/>.</summary>
    public const int FirstMarkerId = 16;

    /// <summary>Marker's top-left corner: right of the card, one card margin and a little away from it.</summary>
    public static PointPx MarkerAtMm { get; } = new(CardDesign.WidthMm + 10, (CardDesign.HeightMm - MarkerMm) / 2);

    /// <summary>Block's top-left corner: above the card, flush with its left side.</summary>
    public static PointPx BlockAtMm { get; } = new(0, -GapMm - BlockHeightMm);

    /// <summary>Where the sheet's 100 mm check line starts: its graduations stand on it.</summary>
    public static PointPx CheckLineAtMm { get; } = new((BlockLengthMm - 100) / 2, 68);

    /// <summary>
    /// Targets with a marker of their own, ids from <see cref="FirstMarkerId"/>: 4 to 25 rings an inch, quarter-, rift- and flat-sawn. Only ever add
    /// at the end: sheets that hang in shops keep their meaning. No angle of exactly 0 or 90: there an error has one direction only and does not show.
    /// </summary>
    public static IReadOnlyList<TargetBands> Listed { get; } =
    [
        new(1.5, 75), new(2.5, 60), new(1.0, 85), new(4.0, 45), new(2.0, 20), new(6.0, 80),
    ];

    /// <summary>Marker id of these bands, or null for bands that are not listed.</summary>
    public static int? MarkerIdOf(TargetBands bands)
    {
        for (var i = 0; i < Listed.Count; i++)
        {
            if (Listed[i] == bands)
                return FirstMarkerId + i;
        }

        return null;
    }
}
