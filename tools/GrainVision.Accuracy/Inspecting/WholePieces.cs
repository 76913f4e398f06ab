using GrainVision.Grading.Pieces;
using GrainVision.Grading.Quantities;
using GrainVision.Grading.Rules;
using GrainVision.Synthesis;
using DeliveryPiece = GrainVision.Grading.Pieces.Piece;

namespace GrainVision.Accuracy;

/// <summary>Makes whole pieces of a seed: good ones, whose truth meets every limit of the use, and ones that break a limit.</summary>
internal static class WholePieces
{
    /// <summary>24: a knot or pocket comes out small more often than not; drawn again until it is over its limit.</summary>
    private const int Tries = 24;

    /// <summary>Tries of one seed lie this far apart, beyond every other range in use.</summary>
    private const int TryStep = 1_000_000;

    private static readonly string[] Books = ["spar", "longeron-and-small-parts", "cap-strip"];

    /// <summary>Species with limits in every book; a Douglas fir is ordered and stated with its class, since the limits hang on it.</summary>
    private static readonly string[] Species = ["sitka-spruce", "sitka-spruce", "red-spruce", "white-spruce", "douglas-fir", "noble-fir", "western-hemlock", "port-orford-cedar"];

    /// <summary>Null where no try comes out as wanted.</summary>
    public static WholePiece? Make(int seed, bool good)
    {
        Fault? fault = good ? null : (Fault)(seed % Enum.GetValues<Fault>().Length);
        var random = new SeededRandom((ulong)(uint)seed * 0x9E3779B97F4A7C15UL).Fork(good ? "good whole" : "failing whole");
        RuleBookSet.Embedded.TryGet(fault == Fault.FlatRings ? "spar" : random.Pick(Books), out var book);
        for (var attempt = 0; attempt < Tries; attempt++)
        {
            var piece = Try(seed, fault, book!, random.Fork($"try {attempt}"), seed + (attempt * TryStep));
            if (piece.Broken.Count > 0 != good)
                return piece;
        }

        return null;
    }

    private static WholePiece Try(int seed, Fault? fault, RuleBook book, SeededRandom random, int photoSeed)
    {
        var plan = BoardPlan.Draw(fault, book.Id, random.Pick(Species), random.Fork("board"));
        var spec = plan.Spec;
        var photographer = new BoardPhotographer(spec, photoSeed, plan.Blemishes);
        var care = new BoardCare(
            random.Chance(0.5) ? Difficulty.Easy : Difficulty.Medium, random.Pick(ScaleProp.Card, ScaleProp.MmRule, ScaleProp.InchRule), Harmless: true);
        var piece = new DeliveryPiece
        {
            Number = 1,
            NominalQuarters = (int)Math.Round(spec.ThickMm / Units.MmPerInch * 4),
            WidthIn = spec.WideMm / Units.MmPerInch,
            LengthFt = spec.LengthMm / Units.MmPerFoot,
            Species = plan.StatedSpecies,
        };
        List<(PhotoPlace Place, PhotoTruth Truth)> truths =
            [.. photographer.Shots().Select(s => (Truth: GroundTruth.Tell(photographer.Scene(s, care, 0, out var stationMm)), Place: s.Place(piece.Number, stationMm))).Select(t => (t.Place, t.Truth))];
        var dry = Weigh(random.Fork("weight"), book, plan.StatedSpecies, out var moisture);
        var known = new KnownPiece(plan.StatedSpecies, moisture, dry, KnownPiece.WeightOf(spec, dry, moisture), spec.WideMm, spec.ThickMm, spec.LengthMm, [], [.. truths.Select((t, i) => new KnownPhoto($"truth {i}", t.Place.Surface, t.Truth))]);
        var broken = TruthMeasurement.Broken(piece, truths, book);
        return new WholePiece(seed, fault, book, piece, photographer, care, known with { BrokenLimits = [.. broken.Select(r => r.LimitId).Distinct()] }, broken);
    }

    /// <summary>Dry enough by 0.6 percentage points, which a sample dried in an oven tells to 0.5, and dense enough by 8 %: nearer to the limits no tool can say.</summary>
    private static double Weigh(SeededRandom random, RuleBook book, string species, out double moisturePercent)
    {
        moisturePercent = random.Uniform(8.6, 11.4);
        var least = book.Limits.OfType<SpecificGravityMinimum>().SelectMany(l => l.Species).Where(r => r.Names.Contains(species, StringComparer.Ordinal))
            .Select(r => r.Least).DefaultIfEmpty(0.36).Max();
        return least * random.Uniform(1.08, 1.3);
    }
}
