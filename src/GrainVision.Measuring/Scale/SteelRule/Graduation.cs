using System.Numerics;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;

namespace GrainVision.Measuring.Scale.SteelRule;

/// <summary>One way in which rules are divided: the step from graduation to graduation and which of them are longer.</summary>
/// <param name="Unit">Null for a division that is only known to be none of the readable ones.</param>
/// <param name="StepMm">From one graduation to the next; 0 where <paramref name="Unit"/> is null.</param>
/// <param name="Cycle">Graduations after which the pattern of lengths repeats.</param>
/// <param name="Levels">Number of different lengths.</param>
/// <param name="Level">Length class of a graduation by its number in the cycle, 0 the shortest.</param>
/// <param name="Prior">How common such rules are in shops, relative to a plain millimetre rule at 1: our judgement, no source.</param>
internal sealed record Graduation(SteelRuleUnit? Unit, double StepMm, int Cycle, int Levels, Func<int, int> Level, double Prior)
{
    /// <summary>
    /// All divisions that are weighed against each other. Tenths, fiftieths and hundredths of an inch are there as rivals of the millimetre: they
    /// share its pattern and differ in how long the graduations and how wide the rule are for their spacing. A rule read as one of them is refused.
    /// They are rare in a wood shop, but taken for millimetres they would make rings 2.5 times too fine: their priors are set higher than how common they are.
    /// </summary>
    public static IReadOnlyList<Graduation> All { get; } =
    [
        new(SteelRuleUnit.Mm, 1, 10, 3, FiveTen, 1),
        new(SteelRuleUnit.Mm, 1, 5, 2, k => k == 0 ? 1 : 0, 0.1),
        new(SteelRuleUnit.Mm, 1, 10, 2, k => k == 0 ? 1 : 0, 0.05),
        new(SteelRuleUnit.Mm, 0.5, 20, 4, k => k % 2 != 0 ? 0 : k == 0 ? 3 : k == 10 ? 2 : 1, 0.15),
        new(SteelRuleUnit.Mm, 0.5, 10, 3, k => k % 2 != 0 ? 0 : k == 0 ? 2 : 1, 0.03),
        Binary(8, 0.05),
        Binary(16, 0.4),
        Binary(32, 0.4),
        Binary(64, 0.15),
        BinaryTopEqual(16, 0.02),
        BinaryTopEqual(32, 0.015),
        BinaryTopEqual(64, 0.005),
        new(SteelRuleUnit.Inch, Units.MmPerInch / 10, 10, 3, FiveTen, 0.3),
        new(SteelRuleUnit.Inch, Units.MmPerInch / 10, 5, 2, k => k == 0 ? 1 : 0, 0.1),
        new(SteelRuleUnit.Inch, Units.MmPerInch / 10, 10, 2, k => k == 0 ? 1 : 0, 0.05),
        new(SteelRuleUnit.Inch, Units.MmPerInch / 100, 10, 3, FiveTen, 0.3),
        new(SteelRuleUnit.Inch, Units.MmPerInch / 100, 100, 5, k => k == 0 ? 4 : k == 50 ? 3 : k % 10 == 0 ? 2 : k % 5 == 0 ? 1 : 0, 0.3),

        // Ten fiftieths are 0.2 in, which nobody marks: the true pattern is by fives.
        new(SteelRuleUnit.Inch, Units.MmPerInch / 50, 10, 3, FiveTen, 0.03),
        new(SteelRuleUnit.Inch, Units.MmPerInch / 50, 5, 2, k => k == 0 ? 1 : 0, 0.1),
        new(SteelRuleUnit.Inch, Units.MmPerInch / 50, 50, 4, k => k == 0 ? 3 : k == 25 ? 2 : k % 5 == 0 ? 1 : 0, 0.3),

        // Half, quarter and fifth marks with the finer ones lost in blur, and lines of one length: nothing can be said of them.
        new(null, 0, 2, 2, k => k == 0 ? 1 : 0, 0.2),
        new(null, 0, 4, 3, k => k == 0 ? 2 : k == 2 ? 1 : 0, 0.2),
        new(null, 0, 1, 1, _ => 0, 0.2),
    ];

    /// <summary>From one numeral to the next: 10 mm or an inch. Infinite where no unit is known.</summary>
    public double MajorGraduations => (Unit == SteelRuleUnit.Mm ? 10 : Units.MmPerInch) / StepMm;

    /// <summary>True for the divisions that are read; the others are only recognised in order to be refused.</summary>
    public bool IsReadable => Unit is not null && !(Unit == SteelRuleUnit.Inch && !BitOperations.IsPow2((int)Math.Round(Units.MmPerInch / StepMm)));

    private static int FiveTen(int k) => k == 0 ? 2 : k == 5 ? 1 : 0;

    /// <summary>1/n in, with 1, 1/2, 1/4, ... each longer than the next.</summary>
    private static Graduation Binary(int n, double prior)
    {
        var top = BitOperations.Log2((uint)n);
        return new(SteelRuleUnit.Inch, Units.MmPerInch / n, n, top + 1, k => k == 0 ? top : BitOperations.TrailingZeroCount(k), prior);
    }

    /// <summary>The same with the half inch as long as the inch.</summary>
    private static Graduation BinaryTopEqual(int n, double prior)
    {
        var top = BitOperations.Log2((uint)n) - 1;
        return new(SteelRuleUnit.Inch, Units.MmPerInch / n, n / 2, top + 1, k => k == 0 ? top : BitOperations.TrailingZeroCount(k), prior);
    }
}
