using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Synthesis;

namespace GrainVision.Accuracy;

/// <summary>What a board of the simulated inspection is to be.</summary>
/// <param name="Spec">The board.</param>
/// <param name="StatedSpecies">As ordered, with its class.</param>
/// <param name="Blemishes">By the surface that shows them.</param>
internal sealed record BoardPlan(BoardSpec Spec, string StatedSpecies, IReadOnlyDictionary<Surface, IReadOnlyList<BlemishKind>> Blemishes)
{
    private static readonly Surface[] Faces = [Surface.Face1, Surface.Face2, Surface.Face3, Surface.Face4];

    /// <summary>Stock that a shop would want for the use, but for the fault.</summary>
    public static BoardPlan Draw(Fault? fault, string book, string species, SeededRandom r)
    {
        if (fault == Fault.LongPocket)
            species = r.Pick("sitka-spruce", "douglas-fir", "red-spruce");
        // Sticks of a foot, and of two, whose faces take two photos each.
        var lengthFt = r.Chance(0.75) ? 1 : 2;
        var quarters = r.Pick(4, 4, 6, 8);
        var widthIn = Math.Round(r.Uniform((quarters / 4.0) + 0.75, 4.5) * 4) / 4;
        // A spar must be on the edge; of small parts three in ten are not.
        var angle = book == "spar" || r.Chance(0.7) ? r.Uniform(58, 89) : r.Uniform(5, 58);
        var spec = new BoardSpec(
            species, widthIn * Units.MmPerInch, quarters / 4.0 * Units.MmPerInch, lengthFt * Units.MmPerFoot, r.Uniform(10, 21), angle, r.Normal(0, 0.014), r.Normal(0, 0.014))
        {
            PithDistanceMm = r.Uniform(180, 360),
            SpiralDeg = r.Normal(0, 0.3),
        };
        spec = fault switch
        {
            Fault.FewRings => spec with { RingsPerInch = r.Uniform(3, 5) },
            Fault.FlatRings => spec with { RingAngleDeg = r.Uniform(3, 36) },
            Fault.BoxedPith => spec with { PithDistanceMm = r.Uniform(1, Math.Min(9, 0.35 * spec.ThickMm)) },
            Fault.SteepSlope => r.Chance(0.5) ? spec with { WideSlope = r.Sign() / r.Uniform(5, 11.5) } : spec with { NarrowSlope = r.Sign() / r.Uniform(5, 11.5) },
            Fault.SpiralOnFlatGrain => spec with { RingAngleDeg = r.Uniform(3, 30), SpiralDeg = r.Sign() * r.Uniform(5.5, 9) },
            _ => spec,
        };
        IReadOnlyList<BlemishKind> kinds = fault switch
        {
            Fault.CrackOnEnd or Fault.CrackOnFace => [r.Chance(0.6) ? BlemishKind.Check : BlemishKind.ShakeOrSplit],
            Fault.LargeKnot => [BlemishKind.Knot],
            Fault.LooseKnot => [BlemishKind.LooseKnot],
            Fault.LongPocket => [BlemishKind.PitchPocket],
            _ => [],
        };
        var where = fault == Fault.CrackOnEnd ? r.Pick(Surface.EndA, Surface.EndB) : r.Pick(Faces);
        return new BoardPlan(
            spec, species == "douglas-fir" ? "douglas-fir-class-n" : species, kinds.Count == 0 ? new Dictionary<Surface, IReadOnlyList<BlemishKind>>() : new Dictionary<Surface, IReadOnlyList<BlemishKind>> { [where] = kinds });
    }
}
