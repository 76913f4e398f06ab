using GrainVision.Grading.Deliveries;
using static GrainVision.Cutting.Tests.CutSamples;

namespace GrainVision.Cutting.Tests;

/// <summary>Hand-worked cases. Kerf 3 mm and end trim 25 mm leave 2388.4 mm of an 8 ft piece.</summary>
public class CutPlannerTests
{
    [Fact] // 3 x 790 + 2 x 3 = 2376 fit into 2388.4; a fourth does not
    public void Plan_OnePart_LiesBehindOneAnotherWithKerfsAfterTheTrim()
    {
        var plan = Plan(Delivery(Part("rib", 790, 5)), Sound(1, "spar"));
        Assert.Equal([(25.0, 815.0), (818.0, 1608.0), (1611.0, 2401.0)], plan.Cuts.Select(c => (c.FromMm, c.ToMm)));
        Assert.Equal(2, plan.Missing["rib"]);
        Assert.True(plan.IsProvenBest);
        // 3 x 790 x 100 x 40 of 2438.4 x 152.4 x 50.8 mm
        Assert.Equal(1 - (9_480_000 / 18_877_897.7), plan.WasteFraction, 1e-6);
    }

    [Theory] // three of 794.133 mm and two kerfs are 2388.4 mm to 0.001 mm; places go by 0.1 mm, rounded against the part
    [InlineData(794.1, 3)]
    [InlineData(794.2, 2)]
    public void Plan_LengthAtTheLimit_FitsOrDoesNot(double lengthMm, int expected) =>
        Assert.Equal(expected, Plan(Delivery(Part("rib", lengthMm, 9)), Sound(1, "spar")).Cuts.Sum(c => c.CountSideBySide));

    [Theory] // in 152.4 x 50.8 mm: 2 x 74.7 + 3 = 152.4; 2 x 23.9 + 3 = 50.8; 9 x 14.2 + 8 x 3 = 151.8 by 3 x 14 + 2 x 3 = 48
    [InlineData(74.7, 40, 2)]
    [InlineData(74.8, 40, 1)]
    [InlineData(74.7, 23.9, 4)]
    [InlineData(74.7, 24.0, 2)]
    [InlineData(14.2, 14, 27)]
    [InlineData(153, 14, 0)]
    [InlineData(40, 60, 0)] // never turned on its side, though 60 would fit into the width
    public void Plan_SideBySideAndResawn_CountsKerfsBetween(double widthMm, double thicknessMm, int expected)
    {
        var plan = Plan(Delivery(Part("strip", 2300, 99, widthMm, thicknessMm)), Sound(1, "spar"));
        Assert.Equal(expected, plan.Cuts.Sum(c => c.CountSideBySide));
    }

    [Fact] // a blemish from 1000 to 1200: 975 mm are left before it and 1213.4 after
    public void Plan_Blemish_IsNeverInAPart()
    {
        var stock = Stock(1, ("spar", 0, 1000), ("spar", 1200, EightFt));
        Assert.Empty(Plan(Delivery(Part("long", 1300, 1)), stock).Cuts);
        var cut = Assert.Single(Plan(Delivery(Part("long", 1210, 2)), stock).Cuts);
        Assert.Equal((1200.0, 2410.0), (cut.FromMm, cut.ToMm));
    }

    [Fact]
    public void Plan_ClearForAnotherUseOnly_GivesNothing()
    {
        var plan = Plan(Delivery(Part("spar", 500, 2)), Sound(1, "cap-strip"));
        Assert.Empty(plan.Cuts);
        Assert.Equal(2, plan.Missing["spar"]);
        Assert.Equal(0, plan.WasteFraction);
        Assert.True(plan.IsProvenBest);
    }

    [Fact] // the spar alone is sound from 600 to 1800; the strips must go to both sides of it
    public void Plan_UsesWithDifferentClearLengths_LieOnBothSidesOfEachOther()
    {
        var delivery = Delivery(Part("spar", 1100, 1), Part("strip", 500, 2, 140, 45, "cap-strip"));
        var plan = Plan(delivery, Stock(1, ("spar", 600, 1800), ("cap-strip", 0, EightFt)));
        Assert.True(plan.IsProvenBest);
        Assert.Single(plan.Cuts, c => c.Part == "spar" && c.FromMm >= 600 && c.ToMm <= 1800);
        Assert.Equal(2, plan.Cuts.Count(c => c.Part == "strip"));
        Assert.Contains(plan.Cuts, c => c.Part == "strip" && c.ToMm <= 600);
    }

    [Fact] // both spars fit into either piece of 8 ft; one is enough
    public void Plan_OfTwoThatCoverAlike_TakesTheOneOfLessStock()
    {
        var one = Plan(Delivery(Part("spar", 1100, 2)), Sound(1, "spar"), Sound(2, "spar"));
        Assert.Single(one.Cuts.Select(c => c.PieceNumber).Distinct());
        Assert.Empty(one.Missing);
        Assert.True(one.IsProvenBest);
    }

    [Fact] // a long part of 2300 x 100 x 40 mm outweighs 27 short strips of 300 x 12 x 12 mm
    public void Plan_TooLittleStock_CoversTheGreaterVolume() =>
        Assert.Equal("spar", Assert.Single(Plan(Delivery(Part("strip", 300, 27, 12, 12), Part("spar", 2300, 1)), Sound(1, "spar")).Cuts).Part);

    [Fact]
    public void Plan_LastBlock_IsNoMoreThanTheListAsksFor() => // 4 lie in a section of which 2 blocks are needed
        Assert.Equal([4, 1], Plan(Delivery(Part("strip", 600, 5, 70, 20)), Sound(1, "spar")).Cuts.Select(c => c.CountSideBySide));

    [Fact]
    public void Plan_NoPieces_IsEmpty() => Assert.Equal(3, Plan(Delivery(Part("rib", 300, 3))).Missing["rib"]);

    [Theory]
    [InlineData(-1)]
    [InlineData(double.NaN)]
    public void Plan_KerfThatMakesNoSense_IsABug(double kerfMm) =>
        Assert.Throws<ArgumentOutOfRangeException>(() => CutPlanner.Plan(Delivery(), [], kerfMm));

    [Fact]
    public void Plan_TwoLinesOfOneName_IsABug() => Assert.Throws<ArgumentException>(() => Plan(Delivery(Part("a", 1, 1), Part("a", 2, 1))));
}
