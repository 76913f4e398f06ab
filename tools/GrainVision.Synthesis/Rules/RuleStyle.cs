namespace GrainVision.Synthesis.Rules;

/// <summary>What a drawn rule is made of. The last two are <see cref="RuleStyles.HeldOut"/>.</summary>
public enum RuleStyle
{
    /// <summary>Blackened or darkly etched steel, lines brighter or a little darker than the ground.</summary>
    DarkSteel,

    /// <summary>Satin chromed steel with black lines.</summary>
    SatinSteel,

    /// <summary>White plastic with black or blue lines.</summary>
    WhitePlastic,

    /// <summary>A wooden rule with printed lines over its grain.</summary>
    Wooden,

    /// <summary>A tape laid flat: yellow or white, both edges graduated.</summary>
    Tape,

    /// <summary>Anodised aluminium, coloured, with white lines that start away from the edge.</summary>
    Anodised,

    /// <summary>A painted folding rule: worn paint, thick lines, a joint.</summary>
    Folding,
}

/// <summary>Sets of styles.</summary>
public static class RuleStyles
{
    /// <summary>Kept out of every tuning: their figures are the ones to believe.</summary>
    public static IReadOnlyList<RuleStyle> HeldOut { get; } = [RuleStyle.Anodised, RuleStyle.Folding];

    /// <summary>What may be tuned to.</summary>
    public static IReadOnlyList<RuleStyle> Open { get; } = [RuleStyle.DarkSteel, RuleStyle.SatinSteel, RuleStyle.WhitePlastic, RuleStyle.Wooden, RuleStyle.Tape];
}

/// <summary>How one edge of a rule is divided.</summary>
public enum RuleDivision
{
    /// <summary>Millimetres; fives and tens longer.</summary>
    Millimetres,

    /// <summary>Millimetres; only tens longer.</summary>
    MillimetresTens,

    /// <summary>Half millimetres; millimetres, fives and tens longer.</summary>
    HalfMillimetres,

    Sixteenths,

    ThirtySeconds,

    SixtyFourths,
}

/// <summary>One graduated edge: division, lengths and numerals.</summary>
/// <param name="Division">How it is divided.</param>
/// <param name="ShortestMm">Length of the shortest marks.</param>
/// <param name="Growth">Each longer class is longer by this factor.</param>
/// <param name="LineMm">Width of a line.</param>
/// <param name="SetBackMm">From the edge to where the lines start.</param>
/// <param name="NumeralMm">Height of the numerals; 0 for none.</param>
/// <param name="NumeralBeside">Numerals stand right of their line's end instead of below it.</param>
/// <param name="FirstNumeral">Number of the first major line in view.</param>
internal sealed record RuleEdge(RuleDivision Division, double ShortestMm, double Growth, double LineMm, double SetBackMm, double NumeralMm, bool NumeralBeside, int FirstNumeral)
{
    public bool IsInch => Division >= RuleDivision.Sixteenths;

    public double StepMm => Division switch
    {
        RuleDivision.HalfMillimetres => 0.5,
        RuleDivision.Sixteenths => 25.4 / 16,
        RuleDivision.ThirtySeconds => 25.4 / 32,
        RuleDivision.SixtyFourths => 25.4 / 64,
        _ => 1,
    };

    /// <summary>Lines from one numeral to the next.</summary>
    public int PerMajor => Division switch
    {
        RuleDivision.HalfMillimetres => 20,
        RuleDivision.Sixteenths => 16,
        RuleDivision.ThirtySeconds => 32,
        RuleDivision.SixtyFourths => 64,
        _ => 10,
    };

    /// <summary>Length of line number i, mm.</summary>
    public double LengthMm(int i) => ShortestMm * Math.Pow(Growth, Level(i));

    private int Level(int i)
    {
        switch (Division)
        {
            case RuleDivision.MillimetresTens:
                return i % 10 == 0 ? 2 : 0;
            case RuleDivision.Millimetres:
                return i % 10 == 0 ? 2 : i % 5 == 0 ? 1 : 0;
            case RuleDivision.HalfMillimetres:
                return i % 20 == 0 ? 3 : i % 10 == 0 ? 2 : i % 2 == 0 ? 1 : 0;
            default:
                var level = 0;
                for (var n = PerMajor; n > 1 && i % 2 == 0 && (i != 0 || n > 1); n /= 2, i /= 2)
                    level++;
                return level;
        }
    }
}
