using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;

namespace GrainVision.Measuring.Scale.SteelRule;

/// <summary>What became of a row that looked like graduations.</summary>
internal enum RuleStanding
{
    /// <summary>Evenly spaced, straight-edged, and the order of lengths is known.</summary>
    Sure,

    /// <summary>A rule, but its unit or step is not sure.</summary>
    Doubtful,

    /// <summary>A rule, but one graduation more or fewer somewhere would fit nearly as well.</summary>
    Miscounted,

    /// <summary>Like a rule, but with too few graduations.</summary>
    TooShort,
}

/// <summary>A row of graduations that was read. All positions are photo pixels.</summary>
/// <param name="Standing">Whether it can be used.</param>
/// <param name="Ticks">The graduations used, in order.</param>
/// <param name="Verdict">What their lengths say; null where there are too few.</param>
/// <param name="Band">The row along the middle of its shortest graduations.</param>
/// <param name="Geometry">The fit and edge, for the scale and the picture.</param>
internal sealed record SteelRuleReading(
    RuleStanding Standing, IReadOnlyList<Tick> Ticks, GraduationVerdict Verdict, TickBand Band, SteelRuleGeometry Geometry)
{
    /// <summary>From one graduation to the next as the geometry takes it.</summary>
    public double StepMm => Verdict.Best.IsReadable ? Verdict.Best.StepMm : 1;

    /// <summary>Numerals along the row; null where none were found.</summary>
    public RuleNumerals? Numerals { get; init; }

    /// <summary>
    /// True for millimetres with numerals of inches beside them: 25.4 graduations (or 50.8 halves) from one to the next within 1 %, five numerals or more. No
    /// part of an inch goes 25.4 times into anything that is numbered.
    /// </summary>
    public bool HasNumeralsOfOtherUnit => Verdict.Best.Unit == SteelRuleUnit.Mm && Numerals is { Count: >= 5 } n && Math.Abs((n.Pitch * StepMm / Units.MmPerInch) - 1) < 0.01;

    /// <summary>The same where another row makes it surer what the graduations are.</summary>
    public SteelRuleReading Surer(double probability) => this with
    {
        Verdict = Verdict with { Probability = probability },
        Standing = Standing == RuleStanding.Doubtful && Verdict.Best.IsReadable && Verdict.IsClear ? RuleStanding.Sure : Standing,
    };

    /// <summary>15: fewer cannot show an order of lengths, and wood shows as many evenly spaced lines now and then.</summary>
    private const int LeastTicks = 15;

    /// <summary>Starts lie within half a spacing of a straight edge, seven of ten.</summary>
    private const double GreatestEdgeScatter = 0.5;

    /// <summary>Seven of ten lengths that the picture shows must be readable.</summary>
    private const double LeastLengthShare = 0.7;

    /// <summary>
    /// Reads a row; null where it is no rule. Twice: the first pass finds the edge, the second runs along the middle of the shortest
    /// graduations, parallel to the edge.
    /// </summary>
    public static SteelRuleReading? Read(GrayPyramid pyramid, EvenRow row, SteelRuleUnit? asked)
    {
        var reading = ReadAsSeen(pyramid, row, asked);
        if (reading is not null && reading.Verdict.UnreadableP < 0.5)
            return reading;

        // Lines as broad as their gaps: the gaps, all of one length, may have been taken for the lines.
        return EvenRow.Read(pyramid, row.Band, !row.IsInverted) is { } turned && ReadAsSeen(pyramid, turned, asked) is { } other && other.Verdict.UnreadableP < 0.5 ? other : reading;
    }

    private static SteelRuleReading? ReadAsSeen(GrayPyramid pyramid, EvenRow row, SteelRuleUnit? asked)
    {
        using var first = Cut(pyramid, row);
        if (first is null
            || SubharmonicCheck.HasFinerTicks(first, row.Ticks, row.Fit)
            || TickLengths.Measure(first, row.Ticks, row.Fit) is not { } rough
            || EvenRow.Read(pyramid, Along(first, row, rough), row.IsInverted) is not { } level)
        {
            return null;
        }

        using var strip = Cut(pyramid, level);
        if (strip is null
            || SubharmonicCheck.HasFinerTicks(strip, level.Ticks, level.Fit)
            || TickLengths.Measure(strip, level.Ticks, level.Fit) is not { } lengths
            || SubharmonicCheck.HasFinerTicksOutside(strip, level.Ticks, level.Fit, lengths))
        {
            return null;
        }

        return lengths.EdgeScatter > GreatestEdgeScatter ? null : Judge(strip, level, lengths, asked);
    }

    private static SteelRuleStrip? Cut(GrayPyramid pyramid, EvenRow row)
    {
        var strip = SteelRuleStrip.Cut(pyramid, row.Band, SteelRuleStrip.WholeSpacings);
        if (row.IsInverted)
            strip?.Invert();
        return strip;
    }

    /// <summary>The row moved to the middle of its shortest graduations and turned parallel to its edge.</summary>
    private static TickBand Along(SteelRuleStrip strip, EvenRow row, TickLengths lengths)
    {
        var sorted = lengths.Lengths.Where(double.IsFinite).Order().ToArray();
        var shortest = sorted[(int)(0.1 * sorted.Length)];
        var middle = 0.5 * (row.Ticks[0].Index + row.Ticks[^1].Index);
        var u = row.Fit.At(middle);
        var inward = 0.5 * shortest * row.Fit.SpacingAt(middle) * lengths.InwardSign;
        var at = strip.ToPhoto(u, lengths.EdgeAt(u) + inward);
        var next = strip.ToPhoto(u + 100, lengths.EdgeAt(u + 100) + inward);
        var far = strip.ToPhoto(u + (100 * lengths.Shear.At(u)), lengths.EdgeAt(u) + inward + 100);
        var scale = strip.PhotoPxPerStripPx;
        return new TickBand(
            at,
            (next - at) * (1 / next.DistanceTo(at)),
            (far - at) * (1 / far.DistanceTo(at)),
            row.Fit.SpacingAt(middle) * scale,
            (row.Fit.At(row.Ticks[0].Index) - u) * scale,
            (row.Fit.At(row.Ticks[^1].Index) - u) * scale);
    }

    /// <summary>8 %: most by which most of the longest marks differ from their median; numerals that touch them lengthen some.</summary>
    private const double LongestWithin = 0.08;
    private const double LongestShare = 0.7;

    /// <summary>6 %: most by which every second of the longest marks may differ from those between; half-inch marks may be only 8 % shorter than inch marks.</summary>
    private const double AlternateWithin = 0.06;

    /// <summary>
    /// True where the order of lengths shows whole, so that no finer or coarser division looks the same. Parts of an inch halve again and again: 32nds look
    /// like 64ths until the inch marks show twice, alike, or one of them shows with its numeral and the half-inch marks beside it without. Two lengths alone
    /// do not tell tens from fives with every second graduation lost. Numerals at 10 mm or an inch say the same of either.
    /// </summary>
    private static bool IsWhole(GraduationVerdict verdict, RuleNumerals? numerals)
    {
        var best = verdict.Best;
        if (!best.IsReadable || numerals?.IsAt(best.MajorGraduations) == true)
            return true;
        if (best.Unit == SteelRuleUnit.Mm)
            return best.Levels > 2 || numerals?.IsAt(Units.MmPerInch / best.StepMm) == true;
        if (verdict.LongestClass.Count == 1 && numerals is { Alone: not null })
            return numerals.IsTheOnlyOneAt(verdict.LongestClass[0].Index, best.MajorGraduations);
        var longest = verdict.LongestClass.Select(l => l.Spacings).ToArray();
        if (longest.Length < 2)
            return false;
        var middle = Median(longest);
        return longest.Count(l => Math.Abs(l - middle) <= LongestWithin * middle) >= LongestShare * longest.Length
            && Math.Abs(Median([.. longest.Where((_, i) => i % 2 == 0)]) - Median([.. longest.Where((_, i) => i % 2 == 1)])) <= AlternateWithin * middle;
    }

    /// <summary>Six numerals and more at one pitch are no chance.</summary>
    private const int ManyNumerals = 6;

    /// <summary>
    /// True where many numerals stand at a pitch that is neither 10 mm nor an inch: graduations counted by their halves or doubles look like that. At every fifth
    /// graduation it may be the long ones themselves.
    /// </summary>
    private static bool NumeralsDisagree(Graduation best, RuleNumerals? numerals) =>
        best.IsReadable && numerals is { Count: >= ManyNumerals } && !numerals.IsAt(best.MajorGraduations) && !numerals.IsAt(Units.MmPerInch / best.StepMm) && !numerals.IsAt(10 / best.StepMm) && !numerals.IsAt(5);

    private static double Median(double[] values)
    {
        Array.Sort(values);
        return 0.5 * (values[(values.Length - 1) / 2] + values[values.Length / 2]);
    }

    private static SteelRuleReading? Judge(SteelRuleStrip strip, EvenRow row, TickLengths lengths, SteelRuleUnit? asked)
    {
        if (lengths.Lengths.Count(double.IsFinite) < LeastLengthShare * (row.Ticks.Count - 2 - lengths.Cut))
            return null;
        var width = BackEdge.WidthSpacings(strip, row.Ticks, row.Fit, lengths);
        var numerals = RuleNumerals.Find(strip, row.Ticks, row.Fit, lengths);
        var verdict = GraduationClassifier.Judge(row.Ticks.Select(t => t.Index).ToArray(), lengths.Lengths, width, numerals, asked);
        if (!verdict.IsOrdered)
            return null;
        var standing = row.Ticks.Count < LeastTicks ? RuleStanding.TooShort
            : CountRivals.Exist(row.Ticks, row.Fit) ? RuleStanding.Miscounted
            : !IsWhole(verdict, numerals) || NumeralsDisagree(verdict.Best, numerals) ? RuleStanding.Doubtful
            : verdict.Best.IsReadable && verdict.IsClear && verdict.Probability >= SteelRuleReader.LeastProbability ? RuleStanding.Sure
            : RuleStanding.Doubtful;
        return SteelRuleGeometry.From(strip, row.Ticks, row.Fit, lengths, verdict.Best.IsReadable ? verdict.Best.StepMm : 1) is { } geometry
            ? new SteelRuleReading(standing, row.Ticks, verdict, row.Band, geometry) { Numerals = numerals }
            : null;
    }
}
