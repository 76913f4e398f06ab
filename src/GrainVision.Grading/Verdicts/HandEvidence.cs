using GrainVision.Grading.ByHand;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;

namespace GrainVision.Grading.Verdicts;

/// <summary>
/// Puts what was measured by hand in the place of what the photo gave, so that the same judge judges it. Half a set never replaces
/// a whole one: the least ring angle of a photo does not get the narrow interval of a protractor laid on the middle.
/// </summary>
internal static class HandEvidence
{
    /// <summary>
    /// The measurement with what was found on it, on its surface and of the whole piece in it. The latest finding of a thing counts.
    /// </summary>
    /// <param name="m">What the photo gave.</param>
    /// <param name="surface">Which surface of the piece it shows; null where nobody said.</param>
    /// <param name="all">All hand findings of the piece.</param>
    public static Measurement Apply(Measurement m, Surface? surface, IReadOnlyList<HandFinding> all)
    {
        if (all.Count == 0)
            return m;
        List<HandFinding> hands = [.. all.Where(h => h.Measurement is { } id ? id == m.Id : h.Surface is not { } of || of == surface)];
        m = AssumedUnit.Apply(m, hands);
        m = UnprovenStreaks.Apply(m, hands);
        m = DoubtfulOutline.Apply(m, hands);
        m = Rings(m, hands);
        m = Angle(m, hands);
        m = Slope(m, hands);
        return Blemishes(m, hands);
    }

    private static Measurement Rings(Measurement m, IReadOnlyList<HandFinding> hands)
    {
        if (m.View != View.End || Find(hands, "worstInch") is not { } worst)
            return m;
        // Without a mean, by photo or by hand, an upper limit on the mean would be judged by the worst inch.
        var all = Find(hands, "perInch");
        if (all is null && (m.Rings is null || Cannot(m, CannotSayTopic.Rings)))
            return m;
        var rings = m.Rings ?? new RingFinding(0, default, default, default, default, [], []);
        return Without(m, CannotSayTopic.Rings) with { Rings = rings with { WorstInch = worst, PerInch = all ?? rings.PerInch } };
    }

    private static Measurement Angle(Measurement m, IReadOnlyList<HandFinding> hands)
    {
        if (m.View != View.End || Find(hands, "ringAngle") is not { } middle || Find(hands, "leastRingAngle") is not { } least || Find(hands, "greatestRingAngle") is not { } greatest)
            return m;
        // The judge gives all three the interval of the middle: it must be as wide as the widest of them.
        var half = new[] { middle, least, greatest }.Max(a => a.High - a.Value);
        var degrees = new Measured(middle.Value, middle.Value - half, middle.Value + half).ClampTo(0, 90);
        return Without(m, CannotSayTopic.RingAngle) with
        {
            RingAngle = new RingAngleFinding(degrees, least.Value, greatest.Value, CutClass.From(middle.Value), Cannot(m, CannotSayTopic.RingAngle) ? null : m.RingAngle?.Pith),
        };
    }

    private static Measurement Slope(Measurement m, IReadOnlyList<HandFinding> hands)
    {
        if (m.View != View.Face || Find(hands, "worstWindow") is not { } worst)
            return m;
        // Scribed or inked lines follow the fibres. What was not entered for the outer eighths stays open.
        return Without(m, CannotSayTopic.Grain) with
        {
            Grain = new GrainFinding(worst, OneIn.From(worst), worst, GrainBasis.FibreStreaks, m.Grain?.Traces ?? [])
            {
                OuterEighths = Find(hands, "outerEighths"),
                ByHand = true,
            },
        };
    }

    private static Measurement Blemishes(Measurement m, IReadOnlyList<HandFinding> hands)
    {
        if (hands.All(h => h.Blemish is null))
            return m;
        var left = new List<BlemishFinding>();
        for (var i = 0; i < m.Blemishes.Count; i++)
        {
            var of = hands.Where(h => h.Blemish == i + 1 && h.Measurement is not null).ToList();
            var kind = of.FindLast(h => h.Is is not null)?.Is;
            if (kind == HandFinding.NoBlemish)
                continue;
            var blemish = m.Blemishes[i] with { Number = i + 1 };
            if (kind is not null && HandFinding.KindOf(kind) is { } known)
                blemish = blemish with { Kind = known, Probability = 1 };
            left.Add(WithSizes(blemish, of, alone: m.Blemishes.Count == 1));
        }

        return m with { Blemishes = left };
    }

    /// <summary>
    /// All four sizes or none: the judge gives length, width and edge distance the interval of the diameter. Beside other blemishes the photo's wider
    /// interval stays, since the places that their spacing is judged by are still the photo's.
    /// </summary>
    private static BlemishFinding WithSizes(BlemishFinding b, List<HandFinding> hands, bool alone)
    {
        if (Size(hands, "diameterMm", s => s.DiameterMm) is not { } diameter || Size(hands, "lengthMm", s => s.LengthMm) is not { } length
            || Size(hands, "widthMm", s => s.WidthMm) is not { } width || Size(hands, "edgeDistanceMm", s => s.EdgeDistanceMm) is not { } edge)
            return b;
        var half = new[] { diameter, length, width, edge }.Max(Half);
        if (!alone)
            half = new[] { half, Half(b.DiameterMm), Half(b.SizeMm) }.Max();
        var across = Math.Max(diameter.Value, width.Value);
        return b with
        {
            DiameterMm = new Measured(diameter.Value, diameter.Value - half, diameter.Value + half),
            SizeMm = new Measured(across, across - half, across + half),
            LengthMm = length.Value,
            WidthMm = width.Value,
            EdgeDistanceMm = edge.Value,
        };
    }

    /// <summary>The latest of a size by itself and of all four with what the mark is.</summary>
    private static Measured? Size(List<HandFinding> hands, string quantity, Func<MarkSize, double> of) => hands.FindLast(h => h.Quantity == quantity || h.Size is not null) switch
    {
        null => null,
        { Size: { } size } => new Measured(of(size), of(size) - size.PlusMinusMm, of(size) + size.PlusMinusMm),
        var single => single.Measured,
    };

    private static double Half(Measured m) => Math.Max(m.High - m.Value, m.Value - m.Low);

    private static Measured? Find(IEnumerable<HandFinding> hands, string quantity) => hands.LastOrDefault(h => h.Quantity == quantity)?.Measured;

    private static bool Cannot(Measurement m, CannotSayTopic topic) => CannotSayReasons.Find(m, topic) is not null;

    private static Measurement Without(Measurement m, CannotSayTopic topic) => m with { CannotSay = [.. m.CannotSay.Where(c => c.What != topic)] };
}
