using System.Globalization;
using System.Text.Json;
using System.Text.Json.Nodes;
using GrainVision.Grading.Deliveries;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Pieces;

namespace GrainVision.Synthesis;

/// <summary>Writes the demo delivery: photos, <c>delivery.json</c> and <c>truth.json</c>. The same folder, byte for byte, on every run.</summary>
public static class DemoDelivery
{
    private const int Seed = 24_000;

    private static readonly JsonSerializerOptions Json = new(ContractJson.Options) { WriteIndented = true };

    /// <summary>Draws everything into a folder, which is made where it is missing; files of other names are left alone.</summary>
    /// <returns>How many files named as photos were written.</returns>
    public static int Write(string folder, double megapixels)
    {
        var photos = Directory.CreateDirectory(Path.Combine(folder, "photos")).FullName;
        var shots = DemoPlan.Pieces.SelectMany(p => Shots(p).Select(s => (Piece: p, Surface: s))).ToList();
        var truths = new SurfaceTruth[shots.Count];
        var names = new string[shots.Count];
        Parallel.For(0, shots.Count, new ParallelOptions { MaxDegreeOfParallelism = Math.Min(2, Environment.ProcessorCount) }, i =>
        {
            var (piece, surface) = shots[i];
            var photo = Shoot(piece, surface, megapixels, out var station);
            names[i] = Name(piece, surface, station, i);
            File.WriteAllBytes(Path.Combine(photos, names[i]), photo.ToJpeg());
            truths[i] = SurfaceTruth.Of(piece.Piece.Number, surface, names[i], photo.Truth);
        });
        var extras = Extras(photos, names, megapixels);
        var entered = JsonSerializer.SerializeToNode(DemoPlan.Delivery, Json)!.AsObject();
        entered.Remove("id");
        // Said once for the delivery, as a shop would: the graduations of a metric rule alone do not prove it.
        entered["scale"] = new JsonObject { ["kind"] = "auto", ["ruleUnit"] = "mm" };
        entered["pieces"] = JsonSerializer.SerializeToNode(DemoPlan.Pieces.Select(p => p.Piece), Json);
        File.WriteAllText(Path.Combine(folder, "delivery.json"), entered.ToJsonString(Json));
        File.WriteAllText(Path.Combine(folder, "truth.json"), JsonSerializer.Serialize(DemoTruth.Of(DemoPlan.Pieces, truths, shots.Count + extras), Json));
        return shots.Count + extras;
    }

    /// <summary>Both ends and three faces of a flitch, all six surfaces of a stick.</summary>
    private static IEnumerable<Surface> Shots(DemoPiece piece) => Enum.GetValues<Surface>().Where(s => piece.IsStick || s != Surface.Face4);

    private static SynthesisedPhoto Shoot(DemoPiece piece, Surface surface, double megapixels, out double stationMm)
    {
        var number = piece.Piece.Number;
        var random = new SeededRandom((ulong)(Seed + number));
        var board = new Board(piece.Spec(DemoPlan.Delivery.Species!), random.Fork("board"));
        var isEnd = surface <= Surface.EndB;
        var narrow = surface is Surface.Face2 or Surface.Face4;
        var whole = !isEnd && piece.IsStick;
        var request = new SceneRequest
        {
            Seed = (Seed * 10) + (number * 10) + (int)surface,
            View = isEnd ? View.End : View.Face,
            Difficulty = Difficulty.Easy,
            Megapixels = megapixels,
            Species = DemoPlan.Delivery.Species,
            RingsPerInch = piece.RingsPerInch,
            WidthMm = board.WideMm,
            ThicknessMm = board.ThickMm,
            // A flitch reaches beyond both sides of the photo.
            LengthMm = isEnd ? null : whole ? board.LengthMm : 1000,
            NarrowFace = narrow,
            // A whole stick shows at 3 px a mm: a card reads there, the graduations of a rule do not.
            Scale = piece.SortedByCard || piece.IsStick || number % 2 == 1 ? ScaleProp.Card : ScaleProp.MmRule,
            Card = piece.SortedByCard ? new PieceCard(number, surface) : null,
            RotationDeg = random.Fork("turn").Normal(0, 0.8),
            PixelsPerMm = whole ? 0.86 * Math.Sqrt(megapixels * 1e6 * 4 / 3) / board.LengthMm : null,
            Blemishes = [],
        };
        var middle = whole ? board.LengthMm / 2 : 700 + ((int)surface * 260.0);
        var scene = board.Put(SceneBuilder.Build(request), surface, middle);
        if (surface == Surface.Face1 && piece.Blemish is { } kind)
            scene = FeatureSampler.Add(scene, request with { Blemishes = [kind] }, random.Fork("strew"));
        var photo = Synthesiser.Render(scene);
        var corner = scene.Camera.PxFromSurface().Inverse().Apply(photo.Truth.Outline[0]);
        stationMm = middle + corner.X;
        return photo;
    }

    private static string Name(DemoPiece piece, Surface surface, double stationMm, int index) =>
        piece.SortedByCard ? $"DSC_{1200 + index}.jpg"
        : surface <= Surface.EndB ? $"{piece.Piece.Number}-{(surface == Surface.EndA ? "endA" : "endB")}.jpg"
        : string.Create(CultureInfo.InvariantCulture, $"{piece.Piece.Number}-face{(int)surface - 1}-{(piece.IsStick ? "whole" : $"{Math.Max(0, stationMm):0000}")}.jpg");

    /// <summary>One photo twice under another name, one of nothing that sorts, one file torn in the middle.</summary>
    private static int Extras(string photos, string[] names, double megapixels)
    {
        File.Copy(Path.Combine(photos, names[0]), Path.Combine(photos, "copy of " + names[0]), overwrite: true);
        var stray = Synthesiser.Make(new SceneRequest { Seed = Seed + 99, View = View.Face, Difficulty = Difficulty.Easy, Megapixels = megapixels, Scale = ScaleProp.Card });
        File.WriteAllBytes(Path.Combine(photos, "DSC_0999.jpg"), stray.ToJpeg());
        var whole = File.ReadAllBytes(Path.Combine(photos, names[1]));
        File.WriteAllBytes(Path.Combine(photos, "2-face4-0900.jpg"), whole[..(whole.Length / 3)]);
        return 3;
    }
}
