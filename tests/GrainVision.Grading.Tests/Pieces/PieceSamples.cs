using GrainVision.Grading.Findings;
using GrainVision.Grading.Pieces;
using GrainVision.Grading.Quantities;
using GrainVision.Grading.Tests.Verdicts;

namespace GrainVision.Grading.Tests.Pieces;

/// <summary>An invented flitch, 8/4 x 6 in x 5 ft, that every book of Sitka spruce accepts until a test spoils one finding.</summary>
internal static class PieceSamples
{
    internal const double LengthMm = 5 * 12 * 25.4;

    internal const double WideMm = 150;

    internal const double NarrowMm = 50;

    internal static readonly Surface[] Faces = [Surface.Face1, Surface.Face2, Surface.Face3, Surface.Face4];

    internal static Piece Flitch => new()
    {
        Number = 7, NominalQuarters = 8, WidthIn = 6, LengthFt = 5, Species = "sitka-spruce", MoisturePercent = 10, WeightLb = 10.54,
    };

    /// <summary>Both ends and the four faces, each face in one photo.</summary>
    internal static IReadOnlyList<PlacedMeasurement> Photos(params IReadOnlyList<(Surface Surface, BlemishFinding Blemish)> blemishes) =>
    [
        End(Surface.EndA), End(Surface.EndB),
        .. Faces.Select(f => Face(f, blemishes: [.. blemishes.Where(b => b.Surface == f).Select(b => b.Blemish)])),
    ];

    internal static PlacedMeasurement End(Surface end, Measured? worst = null, RingAngleFinding? angle = null) => new(
        new PhotoPlace(7, end), Named(Samples.End(worst, angle: angle), $"{end}"));

    /// <summary>A photo of a whole face, or of a part of it that starts at a station.</summary>
    internal static PlacedMeasurement Face(
        Surface face, double? stationMm = null, double shownMm = LengthMm, Measured? slope = null, GrainBasis basis = GrainBasis.FibreStreaks,
        string name = "", params IReadOnlyList<BlemishFinding> blemishes)
    {
        var m = Samples.Face(slope, basis, blemishes: blemishes) with { Size = new SectionSize(Measured.Exact(shownMm), Measured.Exact(AcrossOf(face))) };
        return new(new PhotoPlace(7, face) { StationMm = stationMm, WholeFace = stationMm is null && shownMm == LengthMm }, Named(m, $"{face}{stationMm}{name}"));
    }

    /// <summary>A sure knot in the middle of the width.</summary>
    internal static BlemishFinding Knot(double diameterMm, double alongMm, double half = 0, double probability = 1, BlemishKind kind = BlemishKind.Knot, double width = WideMm) =>
        Samples.Knot(diameterMm, alongMm, width / 2, half, probability, kind) with { EdgeDistanceMm = (width - diameterMm) / 2 };

    internal static IReadOnlyList<PlacedMeasurement> Without(this IEnumerable<PlacedMeasurement> photos, params Surface[] surfaces) =>
        [.. photos.Where(p => !surfaces.Contains(p.Place.Surface))];

    internal static IReadOnlyList<PlacedMeasurement> With(this IEnumerable<PlacedMeasurement> photos, params PlacedMeasurement[] instead) =>
        [.. photos.Where(p => !instead.Any(i => i.Place.Surface == p.Place.Surface)), .. instead];

    internal static Verdict Judged(this IReadOnlyList<PlacedMeasurement> photos, string book = "spar", Piece? piece = null) =>
        PieceJudge.GiveVerdict(piece ?? Flitch, PieceJoiner.Join(piece ?? Flitch, photos), Samples.Book(book));

    internal static PieceFindings Joined(this IReadOnlyList<PlacedMeasurement> photos, Piece? piece = null) => PieceJoiner.Join(piece ?? Flitch, photos);

    internal static double AcrossOf(Surface face) => face is Surface.Face1 or Surface.Face3 ? WideMm : NarrowMm;

    private static Measurement Named(Measurement m, string name) =>
        m with { Photo = m.Photo with { Sha256 = Convert.ToHexStringLower(System.Security.Cryptography.SHA256.HashData(System.Text.Encoding.UTF8.GetBytes(name))) } };
}
