using System.Globalization;
using System.Security.Cryptography;
using System.Text.Json;
using System.Text.Json.Nodes;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Pieces;
using GrainVision.Grading.Rules;

namespace GrainVision.Synthesis;

/// <summary>
/// Writes the demo delivery: photos, <c>delivery.json</c>, <c>truth.json</c>, and <c>known.json</c>, by which the simulated inspector answers. The same folder,
/// byte for byte, on every run.
/// </summary>
public static class DemoDelivery
{
    private const int Seed = 24_000;

    private static readonly JsonSerializerOptions Json = new(ContractJson.Options) { WriteIndented = true };

    /// <summary>Draws everything into a folder, which is made where it is missing; files of other names are left alone.</summary>
    /// <param name="folder">Where to.</param>
    /// <param name="facePxPerMm">Scale of the photos of faces; ends are nearer.</param>
    /// <returns>How many files named as photos were written.</returns>
    public static int Write(string folder, double facePxPerMm)
    {
        var photos = Directory.CreateDirectory(Path.Combine(folder, "photos")).FullName;
        var shots = DemoPlan.Pieces.SelectMany(p => Photographer(p).Shots().Select(s => (Piece: p, Shot: s))).ToList();
        var taken = new Taken[shots.Count];
        Parallel.For(0, shots.Count, new ParallelOptions { MaxDegreeOfParallelism = Math.Min(2, Environment.ProcessorCount) }, i =>
        {
            var (piece, shot) = shots[i];
            var photo = Synthesiser.Render(Photographer(piece).Scene(shot, Care(piece, facePxPerMm), 0, out var stationMm));
            var place = shot.Place(piece.Piece.Number, stationMm);
            var bytes = photo.ToJpeg();
            taken[i] = new Taken(piece, Name(piece, place, i), place, Convert.ToHexStringLower(SHA256.HashData(bytes)), photo.Truth);
            File.WriteAllBytes(Path.Combine(photos, taken[i].File), bytes);
        });
        var extras = Extras(photos, taken);
        var entered = JsonSerializer.SerializeToNode(DemoPlan.Delivery, Json)!.AsObject();
        entered.Remove("id");
        // Said once for the delivery, as a shop would: the graduations of a metric rule alone do not prove it.
        entered["scale"] = new JsonObject { ["kind"] = "auto", ["ruleUnit"] = "mm" };
        entered["pieces"] = JsonSerializer.SerializeToNode(DemoPlan.Pieces.Select(p => p.Piece), Json);
        File.WriteAllText(Path.Combine(folder, "delivery.json"), entered.ToJsonString(Json));
        var truths = taken.Select(t => SurfaceTruth.Of(t.Piece.Piece.Number, t.Place.Surface, t.File, t.Truth)).ToList();
        File.WriteAllText(Path.Combine(folder, "truth.json"), JsonSerializer.Serialize(DemoTruth.Of(DemoPlan.Pieces, truths, shots.Count + extras), Json));
        File.WriteAllText(Path.Combine(folder, "known.json"), JsonSerializer.Serialize(taken.GroupBy(t => t.Piece).ToDictionary(g => g.Key.Piece.Number, g => Known(g.Key, [.. g])), Json));
        return shots.Count + extras;
    }

    /// <summary>One photo on disk.</summary>
    private sealed record Taken(DemoPiece Piece, string File, PhotoPlace Place, string Sha256, PhotoTruth Truth);

    private static BoardPhotographer Photographer(DemoPiece piece) => new(
        piece.Spec(DemoPlan.Delivery.Species!), Seed + piece.Piece.Number,
        piece.Blemish is { } kind ? new Dictionary<Surface, IReadOnlyList<BlemishKind>> { [Surface.Face1] = [kind] } : new Dictionary<Surface, IReadOnlyList<BlemishKind>>());

    private static BoardCare Care(DemoPiece piece, double facePxPerMm) => new(
        Difficulty.Easy, piece.SortedByCard || piece.Piece.Number % 2 == 1 ? ScaleProp.Card : ScaleProp.MmRule, Harmless: true)
    {
        FacePxPerMm = facePxPerMm,
        Card = piece.SortedByCard ? surface => new PieceCard(piece.Piece.Number, surface) : null,
    };

    private static KnownPiece Known(DemoPiece piece, IReadOnlyList<Taken> taken)
    {
        var spec = piece.Spec(DemoPlan.Delivery.Species!);
        var stated = piece.Piece with { Species = spec.Species };
        var broken = DemoPlan.Delivery.RuleBooks.SelectMany(id => RuleBookSet.Embedded.TryGet(id, out var book)
            ? TruthMeasurement.Broken(stated, [.. taken.Select(t => (t.Place, t.Truth))], book)
            : throw new InvalidOperationException($"No rule book {id}."));
        return new KnownPiece(
            spec.Species, piece.MoisturePercent, piece.SpecificGravity, KnownPiece.WeightOf(spec, piece.SpecificGravity, piece.MoisturePercent), spec.WideMm, spec.ThickMm, spec.LengthMm,
            [.. broken.Select(r => r.LimitId).Distinct()], [.. taken.Select(t => new KnownPhoto(t.Sha256, t.Place.Surface, t.Truth))]);
    }

    private static string Name(DemoPiece piece, PhotoPlace place, int index) =>
        piece.SortedByCard ? $"DSC_{1200 + index}.jpg"
        : place.View == View.End ? $"{piece.Piece.Number}-{(place.Surface == Surface.EndA ? "endA" : "endB")}.jpg"
        : string.Create(CultureInfo.InvariantCulture, $"{piece.Piece.Number}-face{(int)place.Surface - 1}-{(place.WholeFace ? "whole" : $"{place.StationMm:0000}")}.jpg");

    /// <summary>One photo twice under another name, one of nothing that sorts, one file torn in the middle.</summary>
    private static int Extras(string photos, Taken[] taken)
    {
        File.Copy(Path.Combine(photos, taken[0].File), Path.Combine(photos, "copy of " + taken[0].File), overwrite: true);
        var stray = Synthesiser.Make(new SceneRequest { Seed = Seed + 99, View = View.Face, Difficulty = Difficulty.Easy, Megapixels = 3, Scale = ScaleProp.Card });
        File.WriteAllBytes(Path.Combine(photos, "DSC_0999.jpg"), stray.ToJpeg());
        var whole = File.ReadAllBytes(Path.Combine(photos, taken[1].File));
        File.WriteAllBytes(Path.Combine(photos, "1-face4-whole (2).jpg"), whole[..(whole.Length / 3)]);
        return 3;
    }
}
