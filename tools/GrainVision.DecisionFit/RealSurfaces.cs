using System.Text.Json;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Measuring.Intake;
using OpenCvSharp;

namespace GrainVision.DecisionFit;

/// <summary>
/// Real sawn faces with labels, from fixtures/surfaces. Those of "train" taught the network and are left alone here; "choose" grows the trees and fits the
/// decision, crossed by boards; "test" is for figures.
/// </summary>
internal static class RealSurfaces
{
    public static IEnumerable<KnownSurface> All(string fixtures)
    {
        var folder = Path.Combine(fixtures, "surfaces");
        var labels = JsonSerializer.Deserialize<Labels>(File.ReadAllText(Path.Combine(folder, "labels.json")), ContractJson.Options)!;
        var boards = labels.Pictures.Where(p => p.Split == "choose").Select(p => p.Board).Distinct().Order(StringComparer.Ordinal).ToList();
        foreach (var p in labels.Pictures.Where(p => p.Split is "choose" or "test"))
        {
            var use = p.Split == "test" ? Use.Figures : Use.Crossed;
            PointPx[] corners = [new(p.Wood[0], p.Wood[1]), new(p.Wood[2] - 1, p.Wood[1]), new(p.Wood[2] - 1, p.Wood[3]), new(p.Wood[0], p.Wood[3])];
            yield return new KnownSurface(
                p.File, false, use, View.Face, corners, labels.PxPerMm, [.. p.Marks.Select(m => Mark(m, labels.PxPerMm)).OfType<TrueMark>()], () => Decode(Path.Combine(folder, p.File)))
            {
                Half = boards.IndexOf(p.Board) & 1,
            };
        }
    }

    /// <summary>Null for what is no blemish: saw lines and torn grain are part of a sawn face.</summary>
    private static TrueMark? Mark(LabelledMark m, double pxPerMm)
    {
        if (m.Kind is "machining" or "tornGrain" or "marking")
            return null;
        var (x0, y0, x1, y1) = (m.Box[0], m.Box[1], m.Box[2], m.Box[3]);
        IReadOnlyList<PointPx> outline = m.Polygon is { Count: > 2 } polygon
            ? [.. polygon.Select(p => new PointPx(p[0], p[1]))]
            : [new(x0, y0), new(x1, y0), new(x1, y1), new(x0, y1)];
        var (longest, narrowest) = (Math.Max(x1 - x0, y1 - y0), Math.Min(x1 - x0, y1 - y0));
        BlemishKind? kind = !m.Sure ? null : m.Kind switch
        {
            "knot" when m.Label is "dead-knot" or "knot-missing" => longest > 3 * narrowest ? BlemishKind.SpikeKnot : BlemishKind.LooseKnot,
            "knot" => longest > 3 * narrowest ? BlemishKind.SpikeKnot : BlemishKind.Knot,
            "crack" => BlemishKind.Check,
            "pocket" => BlemishKind.PitchPocket,
            "hole" => BlemishKind.BoreHole,
            "dent" => BlemishKind.DentOrGouge,
            "stain" => BlemishKind.Stain,
            "pith" => BlemishKind.Pith,
            _ => null,
        };
        return new TrueMark(kind, outline, narrowest / pxPerMm, kind is not null);
    }

    private static Mat Decode(string file)
    {
        var photo = PhotoIntake.Decode(File.ReadAllBytes(file), IntakeLimits.Default, CancellationToken.None);
        return photo.Found?.Bgr ?? throw new InvalidDataException($"{file}: {photo.Refusal?.Message}");
    }

    private sealed record Labels(double PxPerMm, IReadOnlyList<LabelledPicture> Pictures);

    private sealed record LabelledPicture(string File, string Split, string Board, IReadOnlyList<double> Wood, IReadOnlyList<LabelledMark> Marks);

    private sealed record LabelledMark(string Kind, IReadOnlyList<double> Box, IReadOnlyList<IReadOnlyList<double>>? Polygon, string? Label, bool Sure = true);
}
