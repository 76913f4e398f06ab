using GrainVision.Grading.ByHand;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Verdicts;

namespace GrainVision.Grading.Pieces;

/// <summary>All photos of a piece sorted, side by side and paired: what findings, verdict and clear lengths are read from.</summary>
internal sealed record JoinedPiece
{
    internal required Piece Piece { get; init; }

    /// <summary>What is known beside the photos.</summary>
    internal required PieceReadings Readings { get; init; }

    /// <summary>Hand findings that count, oldest first.</summary>
    internal required IReadOnlyList<HandFinding> Hands { get; init; }

    /// <summary>Photos of which nobody says which surface they show: of a piece outside a delivery.</summary>
    internal IReadOnlyList<Measurement> Loose { get; init; } = [];

    internal required PieceGeometry Geometry { get; init; }

    /// <summary>Of the piece, else what all its photos were measured as; null where neither says.</summary>
    internal required string? Species { get; init; }

    /// <summary>By surface and station.</summary>
    internal required IReadOnlyList<PlacedMeasurement> Photos { get; init; }

    /// <summary>The misplaced ones too: whoever judges from the findings must meet them again.</summary>
    internal required IReadOnlyList<PlacedMeasurement> AllPhotos { get; init; }

    internal required IReadOnlyList<MisplacedPhoto> Misplaced { get; init; }

    /// <summary>Photos of each end that was shown, with the piece's species.</summary>
    internal required IReadOnlyDictionary<Surface, IReadOnlyList<Measurement>> Ends { get; init; }

    internal required IReadOnlyDictionary<Surface, JoinedFace> Faces { get; init; }

    /// <summary>Every blemish of every surface, by surface and station.</summary>
    internal required IReadOnlyList<PieceMark> Marks { get; init; }

    /// <summary>Marks of two faces that may be one blemish.</summary>
    internal required IReadOnlyList<(PieceMark First, PieceMark Second)> Mates { get; init; }

    internal static JoinedPiece From(Piece piece, IReadOnlyList<PlacedMeasurement> photos, IReadOnlyList<HandFinding> hands)
    {
        var readings = PieceReadings.From(piece, hands);
        var geometry = PieceGeometry.From(piece);
        var (sorted, misplaced) = PhotoSorting.Sort(piece, geometry, photos);
        var species = SpeciesOf(readings, [.. sorted.Select(p => p.Measurement)]);
        var ends = PieceSurfaces.Ends.Where(Shown).ToDictionary(
            e => e, e => (IReadOnlyList<Measurement>)[.. On(e).Select(p => p.Measurement with { Species = species })]);
        var marks = PieceSurfaces.All.Where(Shown)
            .SelectMany(s => MarkJoiner.OnSurface(geometry, s, On(s)).OrderBy(m => m.StationMm?.Value ?? double.MaxValue).ThenBy(m => m.Finding.AcrossMm)).ToList();
        var faces = PieceSurfaces.Faces.Where(Shown).ToDictionary(
            f => f, f => JoinedFace.From(geometry, f, species, On(f), [.. marks.Where(m => m.Surface == f)], FaceRingAngle.Compute(f, geometry.Square, ends.Values.SelectMany(e => e))));
        return new JoinedPiece
        {
            Piece = piece,
            Readings = readings,
            Hands = hands,
            Geometry = geometry,
            Species = species,
            Photos = sorted,
            AllPhotos = PhotoSorting.InOrder(photos),
            Misplaced = misplaced,
            Ends = ends,
            Faces = faces,
            Marks = marks,
            Mates = KnotCorrespondence.Find(geometry, marks),
        };

        bool Shown(Surface s) => sorted.Any(p => p.Place.Surface == s);
        IReadOnlyList<PlacedMeasurement> On(Surface s) => [.. sorted.Where(p => p.Place.Surface == s)];
    }

    /// <summary>A piece whose photos are not placed: each is judged as a surface of its own.</summary>
    internal static JoinedPiece OfLoose(Piece piece, IReadOnlyList<Measurement> photos, IReadOnlyList<HandFinding> hands)
    {
        var species = SpeciesOf(PieceReadings.From(piece, hands), photos);
        return From(piece, [], hands) with { Species = species, Loose = [.. photos.Select(m => m with { Species = species ?? m.Species })] };
    }

    /// <summary>The mark that may be the same blemish on another face, or null.</summary>
    internal PieceMark? MateOf(PieceMark mark)
    {
        foreach (var (first, second) in Mates)
        {
            if (ReferenceEquals(first, mark))
                return second;
            if (ReferenceEquals(second, mark))
                return first;
        }

        return null;
    }

    private static string? SpeciesOf(PieceReadings readings, IReadOnlyList<Measurement> photos)
    {
        if (readings.Species is { } stated)
            return stated;
        if (readings.SpeciesDiffers)
            return null;
        var said = photos.Select(p => SpeciesJudge.NameOf(p.Species)).Distinct().ToList();
        return said.Count == 1 ? said[0] : null;
    }
}
