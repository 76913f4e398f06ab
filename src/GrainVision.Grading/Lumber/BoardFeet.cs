namespace GrainVision.Grading.Lumber;

/// <summary>Amounts of lumber in board feet: 1 in thick, 12 in wide, 1 ft long, nominal sizes.</summary>
/// <remarks>
/// US Navy, Engineering Aid Basics ch. 6 (read); the rule that thickness under 1 in counts as 1 in is the same in the
/// American Softwood Lumber Standard PS 20 (from memory, confidence 0.9).
/// </remarks>
public static class BoardFeet
{
    /// <summary>1 in: thinner stock counts as this thick.</summary>
    public const double LeastThicknessIn = 1;

    /// <summary>12: inches of width in a board foot.</summary>
    private const double WidthIn = 12;

    /// <summary>Board feet of one piece.</summary>
    /// <param name="thicknessIn">Nominal thickness, in, over 0; under 1 counts as 1.</param>
    /// <param name="widthIn">Nominal width, in, over 0.</param>
    /// <param name="lengthFt">Length, ft, over 0.</param>
    /// <exception cref="ArgumentOutOfRangeException">A size is not a positive finite number.</exception>
    public static double Compute(double thicknessIn, double widthIn, double lengthFt)
    {
        Positive.Check(thicknessIn);
        Positive.Check(widthIn);
        Positive.Check(lengthFt);
        return Math.Max(thicknessIn, LeastThicknessIn) * widthIn * lengthFt / WidthIn;
    }

    /// <summary>Nominal thickness in inches of rough stock named in quarters: 8 (for 8/4) is 2 in.</summary>
    public static double ThicknessInOfQuarters(int quarters)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(quarters, 1);
        return quarters / 4.0;
    }
}
