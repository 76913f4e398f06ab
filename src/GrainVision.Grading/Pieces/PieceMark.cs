using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Grading.Verdicts;

namespace GrainVision.Grading.Pieces;

/// <summary>A blemish as one photo shows it.</summary>
internal sealed record Sighting(PlacedMeasurement Photo, BlemishFinding Finding)
{
    /// <summary>Its number on the picture.</summary>
    internal int Number => Finding.Number ?? BlemishSetting.IndexOf(Photo.Measurement.Blemishes, Finding) + 1;
}

/// <summary>A blemish of one surface, all sightings of it in overlapping photos together.</summary>
/// <param name="Surface">Where.</param>
/// <param name="Finding">The widest intervals of its sightings; along from end A where the station is known.</param>
/// <param name="StationMm">Middle, mm from end A; null where no photo's station is known.</param>
/// <param name="Sightings">One a photo.</param>
internal sealed record PieceMark(Surface Surface, BlemishFinding Finding, Measured? StationMm, IReadOnlyList<Sighting> Sightings)
{
    /// <summary>By its first sighting.</summary>
    internal MarkName Name => new(Sightings[0].Photo.Measurement.Id, Sightings[0].Number);

    /// <summary>Distance of the stations that the two need not differ by to be one: their intervals and the longer one's half.</summary>
    internal static bool NearAlong(PieceMark a, PieceMark b, double roomMm)
    {
        if (a.StationMm is not { } one || b.StationMm is not { } two)
            return false;
        var halves = (one.High - one.Value) + (two.High - two.Value) + (Math.Max(a.Finding.LengthMm, b.Finding.LengthMm) / 2);
        return Math.Abs(one.Value - two.Value) <= halves + roomMm;
    }

    /// <summary>Photos that show both.</summary>
    internal static IEnumerable<(Sighting First, Sighting Second)> Together(PieceMark a, PieceMark b) =>
        from x in a.Sightings
        from y in b.Sightings
        where ReferenceEquals(x.Photo, y.Photo)
        select (x, y);
}
