using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Grading.Refusals;
using GrainVision.Measuring.Geometry;
using GrainVision.Measuring.Scale.Card;

namespace GrainVision.Measuring.Scale.SteelRule;

/// <summary>
/// Finds a steel rule lying anywhere in the photo, at any angle, and reads the scale from its graduations: millimetres (or half
/// millimetres) or eighths to sixty-fourths of an inch.
/// </summary>
/// <remarks>
/// <para>Rows of graduations are sought as lines of one period at halving resolutions (<see cref="TickRowDetector"/>,
/// <see cref="TickRowTracer"/>), turned level, counted and located one by one (<see cref="TickLocalizer"/>), fitted with perspective and lens
/// distortion (<see cref="SpacingFit"/>), and told apart by how their lengths repeat (<see cref="GraduationClassifier"/>). Another count of the same row
/// (<see cref="CountRivals"/>) must be clearly worse; numerals (<see cref="RuleNumerals"/>) and other rows (<see cref="TwoEdges"/>) are witnesses. How the
/// graduations fan out gives the perspective across the rule (<see cref="SteelRulePlane"/>), and with the lens (<see cref="RuleOptics"/>) the scale beside it.</para>
/// <para>Growth rings are periodic too. They are no rule: a rule needs at least 15 graduations evenly spaced to a few
/// hundredths, all starting at one straight edge, with lengths in one of the known orders.</para>
/// <para>Known to fail, with a refusal: spacings under about 3 px or blurred away, fewer than about 30 mm or two inches in view,
/// eighths of an inch unless long, rules divided in tenths of an inch, curved tapes, a rule on a ground whose texture fills the photo with lines as
/// close as its graduations.</para>
/// </remarks>
internal static class SteelRuleReader
{
    /// <summary>0.9: below it the unit or the step is doubtful and the photo is refused. A wrong unit would be a wrong accept.</summary>
    internal const double LeastProbability = 0.9;

    /// <summary>Rows followed in one photo at most: bounds the time on a photo full of texture.</summary>
    private const int GreatestWalks = 300;

    /// <summary>Rows read in one photo at most.</summary>
    private const int GreatestReadings = 10;

    /// <summary>
    /// Both edges of one rule, or two rules, must tell the same scale within 3 % where both are sure, and within 10 % where one is not. Perspective and
    /// different heights may explain so much; the wrong step is wrong by a fifth at least (1/32 in for 1 mm).
    /// </summary>
    private const double GreatestDisagreement = 0.03;
    private const double GreatestDoubtfulDisagreement = 0.1;

    /// <param name="pyramid">The whole photo, 8-bit gray, upright.</param>
    /// <param name="unit">The unit that the caller names, or null.</param>
    /// <param name="cards">Rough homographies of the cards in the photo: what is printed on their sheets is no rule.</param>
    /// <param name="cancel">Checked between levels and rows.</param>
    public static Outcome<PhotoScale> Find(GrayPyramid pyramid, SteelRuleUnit? unit, IReadOnlyList<Homography> cards, CancellationToken cancel)
    {
        var readings = new List<SteelRuleReading>();
        foreach (var row in Rows(pyramid, [.. cards.Select(card => card.Inverse())], cancel))
        {
            cancel.ThrowIfCancellationRequested();
            if (readings.Any(r => r.Band.Covers(row.Band.Middle, row.Band.SpacingPx)))
                continue;
            if (SteelRuleReading.Read(pyramid, row, unit) is { } reading)
                readings.Add(reading);
        }

        readings = TwoEdges.Weigh(readings);
        var sure = readings.Where(r => r.Standing == RuleStanding.Sure).OrderByDescending(r => r.Ticks.Count).ToList();
        if (sure.Count == 0)
            return Refuse(readings, unit);

        // A rule with millimetres on one edge and inches on the other is read by the edge that was asked for.
        var best = sure.Find(r => r.Verdict.Best.Unit == unit) ?? sure[0];
        if (unit is { } asked && best.Verdict.Best.Unit != asked && !readings.Exists(r => r.Verdict.Best.Unit == asked && TwoEdges.Agree(r, best)))
            return ScaleRefusals.RuleUnitContradicts(Name(asked), Name(best.Verdict.Best.Unit!.Value));

        // A longer row that is not sure weighs too: it may be the finer graduations of the same rule.
        var rivals = readings.Where(r => r.Standing == RuleStanding.Sure || (r.Standing == RuleStanding.Doubtful && r.Ticks.Count >= best.Ticks.Count));
        if (rivals.Any(r => Math.Abs(TwoEdges.Between(r, best)) > Disagreement(r, best)))
            return ScaleRefusals.RuleUnitDoubtful();
        var alike = readings.Where(r => !ReferenceEquals(r, best) && r.Standing is RuleStanding.Sure or RuleStanding.Doubtful && TwoEdges.Agree(r, best)).ToList();
        return SteelRuleScaleMaker.Make(pyramid[0], best, [.. sure.Where(r => !ReferenceEquals(r, best))], alike, Basis(unit, best, sure));
    }

    /// <summary>
    /// Halves, quarters and eighths are inches for certain. Fives and tens are millimetres, or parts of an inch of an engineer's scale: a 20th is 1.27 mm, a
    /// 30th 0.85. An inch edge that tells the same scale, as all sure rows here do, leaves no room for those.
    /// </summary>
    private static SteelRuleUnitBasis Basis(SteelRuleUnit? told, SteelRuleReading best, List<SteelRuleReading> sure) =>
        sure.Exists(r => r.Verdict.Best.Unit == SteelRuleUnit.Inch) || best.HasNumeralsOfOtherUnit ? SteelRuleUnitBasis.Graduations
        : told is not null ? SteelRuleUnitBasis.Told : SteelRuleUnitBasis.Assumed;

    /// <summary>Rows that are not sure, or whose planes are not known so well between them, may differ by more.</summary>
    private static double Disagreement(SteelRuleReading row, SteelRuleReading best)
    {
        var middle = (row.Band.Middle + best.Band.Middle) * 0.5;
        var open = 3 * ScaleUncertaintyBudget.Combine(row.Geometry.RelativeAt(middle), best.Geometry.RelativeAt(middle));
        return Math.Clamp(open, row.Standing == RuleStanding.Sure ? GreatestDisagreement : GreatestDoubtfulDisagreement, GreatestDoubtfulDisagreement);
    }

    private static List<EvenRow> Rows(GrayPyramid pyramid, List<Homography> sheets, CancellationToken cancel)
    {
        var seeds = new List<BandSeed>();
        bool IsAmongBands(PointPx p) => sheets.Exists(s => PrintedSheet.IsAmongBands(s, p));
        for (var level = pyramid.FirstLevel; level < pyramid.Count; level++)
        {
            seeds.AddRange(TickRowDetector.Find(pyramid[level], level, IsAmongBands));
            cancel.ThrowIfCancellationRequested();
        }

        var bands = new List<TickBand>();
        var rows = new List<EvenRow>();
        var walks = 0;
        foreach (var seed in seeds.OrderBy(s => IsAmongBands(GrayPyramid.ToPhoto(new(s.X, s.Y), s.Level))).ThenByDescending(s => s.Support))
        {
            var at = GrayPyramid.ToPhoto(new(seed.X, seed.Y), seed.Level);
            var spacing = (1 << seed.Level) / seed.FrequencyPerPx;
            if (bands.Any(b => b.Covers(at, spacing)))
                continue;
            if (++walks > GreatestWalks)
                break;
            if (TickRowTracer.Follow(pyramid[seed.Level], seed) is not { } band)
                continue;
            bands.Add(band);
            if (EvenRow.Read(pyramid, band) is { } row)
                rows.Add(row);
        }

        // Long rows first; what is printed on a card's own sheet is no rule.
        return rows.Where(r => !sheets.Exists(s => PrintedSheet.Holds(s, r))).OrderBy(r => IsAmongBands(r.Band.Middle)).ThenByDescending(r => r.Ticks.Count)
            .Take(GreatestReadings).ToList();
    }

    private static Refusal Refuse(List<SteelRuleReading> readings, SteelRuleUnit? unit)
    {
        // What the caller said made it doubtful: then that is what to look into.
        if (unit is { } asked && readings.FirstOrDefault(r => r.Standing == RuleStanding.Doubtful && r.Verdict.Best.Unit is { } u && u != asked) is { } other)
            return ScaleRefusals.RuleUnitContradicts(Name(asked), Name(other.Verdict.Best.Unit!.Value));
        if (readings.Any(r => r.Standing == RuleStanding.Doubtful))
            return ScaleRefusals.RuleUnitDoubtful();
        if (readings.Any(r => r.Standing == RuleStanding.Miscounted))
            return ScaleRefusals.RuleUneven();
        var tooShort = readings.Where(r => r.Standing == RuleStanding.TooShort).ToList();
        return tooShort.Count > 0 ? ScaleRefusals.RuleTooShort(tooShort.Max(r => r.Ticks.Count)) : ScaleRefusals.RuleNotFound();
    }

    private static string Name(SteelRuleUnit unit) => unit == SteelRuleUnit.Mm ? "millimetres" : "parts of an inch";
}
