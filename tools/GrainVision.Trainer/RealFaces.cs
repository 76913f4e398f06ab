using System.Text.Json;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Measuring.Intake;
using OpenCvSharp;

namespace GrainVision.Trainer;

/// <summary>Real sawn faces with annotated blemishes, and clear sections, from the fixtures.</summary>
internal sealed class RealFaces(string fixtures)
{
    /// <summary>8 px/mm: the sections' scale is not stated; the plates are about 64 mm wide.</summary>
    private const double SectionPixelsPerMm = 8;

    /// <summary>Share of a section's height that the plate's dark border takes at the top, where that is more than the usual 6 %.</summary>
    private static readonly Dictionary<string, double> Borders = new()
    {
        ["face-american-basswood-flat-sawn.jpg"] = 0.15,
        ["face-sourwood-flat-sawn.jpg"] = 0.11,
    };

    /// <summary>Sections that are not clear to the eye: a crack, and a dark streak.</summary>
    private static readonly string[] NotClear = ["face-american-birch-flat-sawn.jpg", "face-tanoak-flat-sawn.jpg"];

    public IEnumerable<LabelledFace> Tiles()
    {
        var json = JsonSerializer.Deserialize<List<Tile>>(File.ReadAllText(Path.Combine(fixtures, "blemishes", "tiles.json")), ContractJson.Options)!;
        foreach (var tile in json)
        {
            yield return new LabelledFace(
                tile.File, Source.RealTile, tile.Split == "training" ? Split.Training : Split.Test, View.Face, tile.Corners, tile.PixelsPerMm,
                [.. tile.Objects.Select(o => new TrueBlemish(KindOf(o), o.Outline, Width(o.Outline) / tile.PixelsPerMm))],
                () => Decode(Path.Combine(fixtures, "blemishes", tile.File)));
        }
    }

    /// <summary>Every second section is for training.</summary>
    public IEnumerable<LabelledFace> ClearSections() => Directory.EnumerateFiles(Path.Combine(fixtures, "photos"), "face-*.jpg")
        .Order(StringComparer.Ordinal).Where(f => !NotClear.Contains(Path.GetFileName(f)))
        .Select((f, i) => Section(f, i % 2 == 0 ? Split.Training : Split.Test));

    public IEnumerable<LabelledFace> DoubtfulSections() => NotClear.Select(f => Section(Path.Combine(fixtures, "photos", f), Split.Test));

    private static LabelledFace Section(string file, Split split)
    {
        using var mat = Decode(file);
        var (w, h) = (mat.Width, mat.Height);
        var top = Borders.GetValueOrDefault(Path.GetFileName(file), 0.06) * h;
        PointPx[] corners = [new(6, top), new(w - 7, top), new(w - 7, h * 0.94), new(6, h * 0.94)];
        return new LabelledFace(Path.GetFileName(file), Source.ClearSection, split, View.Face, corners, SectionPixelsPerMm, [], () => Decode(file));
    }

    private static Mat Decode(string file)
    {
        var photo = PhotoIntake.Decode(File.ReadAllBytes(file), IntakeLimits.Default, CancellationToken.None);
        return photo.Found?.Bgr ?? throw new InvalidDataException($"{file}: {photo.Refusal?.Message}");
    }

    /// <summary>Classes of the set in the trade's words; "quartzity" marks coloured bands that no class here names.</summary>
    private static BlemishKind? KindOf(TileObject o) => o.Class switch
    {
        "live-knot" or "knot-with-crack" => Longest(o.Outline) > 3 * Width(o.Outline) ? BlemishKind.SpikeKnot : BlemishKind.Knot,
        "dead-knot" => Longest(o.Outline) > 3 * Width(o.Outline) ? BlemishKind.SpikeKnot : BlemishKind.LooseKnot,
        "resin" => BlemishKind.PitchPocket,
        "crack" => BlemishKind.Check,
        _ => null,
    };

    private static double Width(IReadOnlyList<PointPx> outline) => Extents(outline).Min();

    private static double Longest(IReadOnlyList<PointPx> outline) => Extents(outline).Max();

    private static IEnumerable<double> Extents(IReadOnlyList<PointPx> outline) => Enumerable.Range(0, 36).Select(i =>
    {
        var (sin, cos) = Math.SinCos(i * Math.PI / 36);
        return 1 + outline.Max(p => (p.X * cos) + (p.Y * sin)) - outline.Min(p => (p.X * cos) + (p.Y * sin));
    });

    private sealed record Tile(string File, string Split, double PixelsPerMm, IReadOnlyList<PointPx> Corners, IReadOnlyList<TileObject> Objects);

    private sealed record TileObject(string Class, IReadOnlyList<PointPx> Outline);
}
