using GrainVision.Grading.Findings;
using GrainVision.Grading.Rules;
using GrainVision.Synthesis;

namespace GrainVision.Accuracy;

/// <summary>What is wrong with a piece made to fail.</summary>
internal enum Fault
{
    FewRings,
    FlatRings,
    BoxedPith,
    CrackOnEnd,
    SteepSlope,
    SpiralOnFlatGrain,
    LargeKnot,
    LooseKnot,
    LongPocket,
    CrackOnFace,
}

/// <summary>A piece that truly breaks limits of a book.</summary>
/// <param name="Seed">Its number in the run.</param>
/// <param name="Fault">What it was made to break.</param>
/// <param name="Request">How to make its photo again.</param>
/// <param name="Book">The book.</param>
/// <param name="Broken">All that its truth breaks.</param>
internal sealed record FailingPiece(int Seed, Fault Fault, SceneRequest Request, RuleBook Book, IReadOnlyList<Reason> Broken);

/// <summary>Makes pieces that break a limit well beyond what a photo can leave in doubt, and pieces that break none.</summary>
internal static class FailingPieces
{
    /// <summary>24: a knot or pocket comes out small more often than not; drawn again until it is over its limit.</summary>
    private const int Tries = 24;

    /// <summary>Tries of one seed lie this far apart, beyond every other range in use.</summary>
    private const int TryStep = 1_000_000;

    private static readonly string[] Books = ["spar", "longeron-and-small-parts", "cap-strip"];

    /// <summary>Species with limits in every book; ash has none and is always held.</summary>
    private static readonly string[] Species = ["sitka-spruce", "red-spruce", "white-spruce", "douglas-fir", "noble-fir", "western-hemlock", "port-orford-cedar"];

    public static FailingPiece? Make(int seed, double megapixels)
    {
        var random = new SeededRandom((ulong)(uint)seed * 0x9E3779B97F4A7C15UL).Fork("failing");
        var fault = (Fault)(seed % Enum.GetValues<Fault>().Length);
        var book = Book(fault == Fault.FlatRings ? "spar" : random.Pick(Books));
        for (var attempt = 0; attempt < Tries; attempt++)
        {
            var request = Request(fault, random.Fork($"try {attempt}")) with { Seed = seed + (attempt * TryStep), Megapixels = megapixels };
            if (TruthVerdict.Broken(GroundTruth.Tell(SceneBuilder.Build(request)), book) is { Count: > 0 } broken)
                return new FailingPiece(seed, fault, request, book, broken);
        }

        return null;
    }

    /// <summary>A piece of a kind that a shop would want to pass: slow-grown, on the quarter, straight, clear.</summary>
    public static (SceneRequest Request, RuleBook Book)? Good(int seed, double megapixels)
    {
        var random = new SeededRandom((ulong)(uint)seed * 0x9E3779B97F4A7C15UL).Fork("good");
        var book = Book(random.Pick(Books));
        for (var attempt = 0; attempt < Tries; attempt++)
        {
            var r = random.Fork($"try {attempt}");
            var request = Basic(r, seed % 2 == 0 ? View.End : View.Face) with
            {
                Seed = seed + (attempt * TryStep),
                Megapixels = megapixels,
                Difficulty = r.Chance(0.5) ? Difficulty.Easy : Difficulty.Medium,
                RingsPerInch = r.Uniform(11, 20),
                RingAngleDeg = r.Uniform(80, 89),
                PithDistanceMm = r.Uniform(180, 320),
                SpiralDeg = 0,
                Slope = seed % 2 == 0 ? null : r.Uniform(-0.012, 0.012),
                Blemishes = [],
            };
            if (TruthVerdict.Broken(GroundTruth.Tell(SceneBuilder.Build(request)), book).Count == 0)
                return (request, book);
        }

        return null;
    }

    private static SceneRequest Request(Fault fault, SeededRandom r) => fault switch
    {
        Fault.FewRings => Basic(r, View.End) with { RingsPerInch = r.Uniform(3, 5), Blemishes = [] },
        Fault.FlatRings => Basic(r, View.End) with { RingsPerInch = r.Uniform(10, 22), RingAngleDeg = r.Uniform(3, 36), PithDistanceMm = r.Uniform(120, 300), Blemishes = [] },
        Fault.BoxedPith => Basic(r, View.End) with { RingsPerInch = r.Uniform(9, 20), PithDistanceMm = r.Uniform(1, 9), Blemishes = [] },
        Fault.CrackOnEnd => QuarteredEnd(r) with { Blemishes = [r.Chance(0.6) ? BlemishKind.Check : BlemishKind.ShakeOrSplit] },
        Fault.SteepSlope => Basic(r, View.Face) with { RingAngleDeg = r.Uniform(0, 90), Slope = r.Sign() / r.Uniform(5, 11.5), Blemishes = [] },
        Fault.SpiralOnFlatGrain => Basic(r, View.Face) with { RingAngleDeg = r.Uniform(0, 30), SpiralDeg = r.Sign() * r.Uniform(5.5, 9), Blemishes = [] },
        Fault.LargeKnot => StraightFace(r) with { Blemishes = [BlemishKind.Knot] },
        Fault.LooseKnot => StraightFace(r) with { Blemishes = [BlemishKind.LooseKnot] },
        Fault.LongPocket => StraightFace(r) with { Species = r.Pick("sitka-spruce", "douglas-fir", "red-spruce"), Blemishes = [BlemishKind.PitchPocket] },
        Fault.CrackOnFace => StraightFace(r) with { Blemishes = [r.Chance(0.6) ? BlemishKind.Check : BlemishKind.ShakeOrSplit] },
        _ => throw new ArgumentOutOfRangeException(nameof(fault), fault, null),
    };

    /// <summary>All else good, so that nothing but the fault can stop an accept.</summary>
    private static SceneRequest QuarteredEnd(SeededRandom r) =>
        Basic(r, View.End) with { RingsPerInch = r.Uniform(11, 20), RingAngleDeg = r.Uniform(75, 89), PithDistanceMm = r.Uniform(180, 320) };

    private static SceneRequest StraightFace(SeededRandom r) =>
        Basic(r, View.Face) with { RingAngleDeg = r.Uniform(72, 89), SpiralDeg = 0, Slope = r.Uniform(-0.012, 0.012), PithDistanceMm = r.Uniform(150, 300) };

    private static SceneRequest Basic(SeededRandom r, View view) => new()
    {
        View = view,
        Species = r.Pick(Species),
        Difficulty = (Difficulty)r.Index(3),
        Scale = r.Pick(ScaleProp.Card, ScaleProp.MmRule, ScaleProp.InchRule),
    };

    private static RuleBook Book(string id) => RuleBookSet.Embedded.TryGet(id, out var book) ? book : throw new InvalidOperationException($"No rule book {id}.");
}
