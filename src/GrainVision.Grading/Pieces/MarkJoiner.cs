using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;

namespace GrainVision.Grading.Pieces;

/// <summary>Finds which sightings in overlapping photos of one surface are the same blemish, and puts their intervals together.</summary>
/// <remarks>
/// Taken for the same only where both photos are sure to show the place: each photo would then have shown two, had there been
/// two. Anything nearer than the stations can tell apart, but not sure to be the same, stays two marks that may be one.
/// </remarks>
internal static class MarkJoiner
{
    /// <summary>5 mm: how far apart across the face two sightings of one blemish may lie, besides half its width.</summary>
    private const double AcrossWithinMm = 5;

    internal static IReadOnlyList<PieceMark> OnSurface(PieceGeometry geometry, Surface surface, IReadOnlyList<PlacedMeasurement> photos)
    {
        var marks = new List<PieceMark>();
        foreach (var photo in photos)
        {
            var fresh = photo.Measurement.Blemishes.Select(b => Seen(geometry, surface, photo, b)).ToList();
            var pairs = (from m in marks from f in fresh where SurelySame(geometry, m, f) orderby Gap(m, f) select (Mark: m, Fresh: f)).ToList();
            var (taken, used) = (new HashSet<PieceMark>(ReferenceEqualityComparer.Instance), new HashSet<PieceMark>(ReferenceEqualityComparer.Instance));
            foreach (var (mark, one) in pairs)
            {
                if (taken.Contains(mark) || used.Contains(one))
                    continue;
                taken.Add(mark);
                used.Add(one);
                marks[marks.FindIndex(m => ReferenceEquals(m, mark))] = Together(mark, one);
            }

            marks.AddRange(fresh.Where(f => !used.Contains(f)));
        }

        return marks;
    }

    /// <summary>True where the two marks of one face may be one blemish, though the photos do not prove it.</summary>
    internal static bool MayBeSame(PieceMark a, PieceMark b) => a.Surface == b.Surface && !PieceMark.Together(a, b).Any()
        && (a.StationMm is null || b.StationMm is null || (PieceMark.NearAlong(a, b, 0) && NearAcross(a.Finding, b.Finding)));

    private static bool SurelySame(PieceGeometry geometry, PieceMark a, PieceMark b)
    {
        if (PieceSurfaces.IsEnd(a.Surface))
            return false;
        return PieceMark.NearAlong(a, b, 0) && NearAcross(a.Finding, b.Finding)
            && a.Sightings.All(s => Shows(s.Photo, b.StationMm!.Value)) && b.Sightings.All(s => Shows(s.Photo, a.StationMm!.Value));

        bool Shows(PlacedMeasurement photo, Measured station) =>
            geometry.Shown(photo) is { } shown && Math.Max(0, station.Low) >= shown.FromMm && Math.Min(geometry.LengthMm, station.High) <= shown.ToMm;
    }

    private static double Gap(PieceMark a, PieceMark b) =>
        Math.Abs(a.StationMm!.Value.Value - b.StationMm!.Value.Value) + Math.Abs(a.Finding.AcrossMm - b.Finding.AcrossMm);

    private static bool NearAcross(BlemishFinding a, BlemishFinding b) =>
        Math.Abs(a.AcrossMm - b.AcrossMm) <= AcrossWithinMm + (Math.Max(a.WidthMm, b.WidthMm) / 2);

    private static PieceMark Seen(PieceGeometry geometry, Surface surface, PlacedMeasurement photo, BlemishFinding finding)
    {
        var station = PieceSurfaces.IsEnd(surface)
            ? Measured.Exact(surface == Surface.EndA ? 0 : geometry.LengthMm)
            : geometry.StationOf(photo, finding.AlongMm);
        var turned = finding with
        {
            AlongMm = station?.Value ?? finding.AlongMm,
            AcrossMm = photo.Place.FromEndB && photo.Measurement.Size is { } size ? size.SecondSideMm.Value - finding.AcrossMm : finding.AcrossMm,
        };
        return new PieceMark(surface, turned, station, [new Sighting(photo, finding)]);
    }

    /// <summary>Wide enough for both: what is accepted must pass as either, what is rejected must fail as both.</summary>
    private static PieceMark Together(PieceMark a, PieceMark b)
    {
        var (likelier, other) = a.Finding.Probability >= b.Finding.Probability ? (a.Finding, b.Finding) : (b.Finding, a.Finding);
        var agreed = likelier.Kind == other.Kind;
        var joined = likelier with
        {
            Probability = agreed ? likelier.Probability : Math.Min(likelier.Probability, 1 - other.Probability),
            Kinds = agreed ? likelier.Kinds : null,
            SizeMm = Hull(a.Finding.SizeMm, b.Finding.SizeMm),
            DiameterMm = Hull(a.Finding.DiameterMm, b.Finding.DiameterMm),
            LengthMm = Math.Max(a.Finding.LengthMm, b.Finding.LengthMm),
            WidthMm = Math.Max(a.Finding.WidthMm, b.Finding.WidthMm),
            EdgeDistanceMm = Math.Min(a.Finding.EdgeDistanceMm, b.Finding.EdgeDistanceMm),
            EdgeSlope = a.Finding.EdgeSlope is { } x && b.Finding.EdgeSlope is { } y ? Hull(x.Magnitude(), y.Magnitude()) : null,
        };
        return new PieceMark(a.Surface, joined, Hull(a.StationMm!.Value, b.StationMm!.Value), [.. a.Sightings, .. b.Sightings]);
    }

    private static Measured Hull(Measured a, Measured b) =>
        new((a.Value + b.Value) / 2, Math.Min(a.Low, b.Low), Math.Max(a.High, b.High), Math.Min(a.Level, b.Level));
}
