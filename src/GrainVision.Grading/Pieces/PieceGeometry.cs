using GrainVision.Grading.Findings;
using GrainVision.Grading.Lumber;
using GrainVision.Grading.Quantities;
using GrainVision.Grading.Verdicts;

namespace GrainVision.Grading.Pieces;

/// <summary>Nominal sizes of a piece in mm, and where along it a place in a photo lies.</summary>
internal sealed record PieceGeometry(double LengthMm, double WidthMm, double ThicknessMm)
{
    /// <summary>0.05: a photo said to show a whole face may be so far off the nominal length; rough stock is not cut to the mm (common practice, no source).</summary>
    private const double WholeFaceWithin = 0.05;

    /// <summary>0.005: so far the last photo may stop short of the nominal length, besides its station's own uncertainty.</summary>
    private const double EndWithin = 0.005;

    /// <summary>
    /// 0.01: a photo without a station whose piece is as long as the whole, to so much of it, shows it from end to end: no stretch is as long
    /// as the whole and starts elsewhere.
    /// </summary>
    private const double AsLongWithin = 0.01;

    internal static PieceGeometry From(Piece piece) => new(
        piece.LengthFt * Units.MmPerFoot, piece.WidthIn * Units.MmPerInch, BoardFeet.ThicknessInOfQuarters(piece.NominalQuarters) * Units.MmPerInch);

    /// <summary>True where the section is as thick as it is wide, so that no face is the wide one.</summary>
    internal bool Square => ThicknessMm >= WidthMm;

    /// <summary>Nominal width of a face across the grain, mm: faces 1 and 3 are the wide ones.</summary>
    internal double AcrossMm(Surface face) => face is Surface.Face1 or Surface.Face3 ? WidthMm : ThicknessMm;

    /// <summary>Station of a place along a photo, mm from end A; null where the photo's own station is not known.</summary>
    internal Measured? StationOf(PlacedMeasurement photo, double alongMm)
    {
        if (Start(photo) is not { } start || !double.IsFinite(alongMm))
            return null;
        var scale = photo.Measurement.Scale.PixelsPerMm;
        if (!GuardedAcceptance.IsUsable(scale) || scale.Value <= 0)
            return null;
        var half = photo.Place.StationUncertaintyMm + (Math.Max(scale.High - scale.Value, scale.Value - scale.Low) / scale.Value * Math.Abs(alongMm));
        var station = photo.Place.FromEndB ? start - alongMm : start + alongMm;
        return new Measured(station, station - half, station + half);
    }

    /// <summary>Stretch of the piece that a face photo is sure to show, mm from end A; null where that is not known.</summary>
    internal Stretch? Shown(PlacedMeasurement photo)
    {
        if (photo.Measurement.Size is not { } size || !GuardedAcceptance.IsUsable(size.FirstSideMm) || size.FirstSideMm.Value <= 0)
            return null;
        if ((photo.Place.WholeFace && Math.Abs((size.FirstSideMm.Value / LengthMm) - 1) <= WholeFaceWithin) || IsAsLongAsThePiece(photo))
            return new Stretch(0, LengthMm);
        if (StationOf(photo, 0) is not { } one || StationOf(photo, size.FirstSideMm.Value) is not { } two)
            return null;
        var (from, to) = one.Value <= two.Value ? (one, two) : (two, one);
        var first = from.Low <= 0 ? 0 : from.High;
        var last = to.High >= LengthMm * (1 - EndWithin) ? LengthMm : to.Low;
        return last > first ? new Stretch(first, last) : null;
    }

    /// <summary>Where corner 1 lies: as stated, else at the end that a photo of the whole face starts from.</summary>
    private double? Start(PlacedMeasurement photo)
    {
        var place = photo.Place;
        var stated = place.StationMm ?? (place.WholeFace || IsAsLongAsThePiece(photo) ? place.FromEndB ? LengthMm : 0 : null);
        return stated is { } mm && double.IsFinite(mm) && place.StationUncertaintyMm is >= 0 and < double.PositiveInfinity ? mm : null;
    }

    /// <summary>True for a photo of a face that nobody gave a station, but whose length, well enough known, is the piece's.</summary>
    private bool IsAsLongAsThePiece(PlacedMeasurement photo) =>
        photo.Place is { StationMm: null, Surface: not (Surface.EndA or Surface.EndB) } && photo.Measurement.Size is { } size && GuardedAcceptance.IsUsable(size.FirstSideMm)
        && Math.Abs((size.FirstSideMm.Value / LengthMm) - 1) <= AsLongWithin
        && size.FirstSideMm.Low >= LengthMm * (1 - WholeFaceWithin) && size.FirstSideMm.High <= LengthMm * (1 + WholeFaceWithin);
}

/// <summary>A stretch along a piece, mm from end A.</summary>
internal readonly record struct Stretch(double FromMm, double ToMm)
{
    internal double LengthMm => ToMm - FromMm;

    internal bool Holds(double stationMm) => stationMm >= FromMm && stationMm <= ToMm;

    internal bool Touches(Stretch other) => other.FromMm < ToMm && other.ToMm > FromMm;

    /// <summary>What of <paramref name="whole"/> no stretch covers, in order.</summary>
    internal static IReadOnlyList<Stretch> Gaps(Stretch whole, IEnumerable<Stretch> covers)
    {
        var gaps = new List<Stretch>();
        var reached = whole.FromMm;
        foreach (var cover in covers.OrderBy(c => c.FromMm))
        {
            if (cover.FromMm > reached)
                gaps.Add(new Stretch(reached, Math.Min(cover.FromMm, whole.ToMm)));
            reached = Math.Max(reached, cover.ToMm);
            if (reached >= whole.ToMm)
                break;
        }

        if (reached < whole.ToMm)
            gaps.Add(new Stretch(reached, whole.ToMm));
        return [.. gaps.Where(g => g.LengthMm > 0)];
    }
}
