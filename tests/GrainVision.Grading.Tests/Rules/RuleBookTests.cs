using System.Text.Json;
using System.Text.Json.Nodes;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Rules;
using Json.Schema;

namespace GrainVision.Grading.Tests.Rules;

public class RuleBookTests
{
    private static readonly JsonSchema Schema = JsonSchema.FromText(RuleBookSet.Schema);

    public static TheoryData<string> Ids => [.. RuleBookSet.Embedded.Latest.Select(b => b.Id)];

    [Fact]
    public void Embedded_Books_AreTheFour() =>
        Assert.Equal(["cap-strip", "longeron-and-small-parts", "shop-order", "spar"], RuleBookSet.Embedded.Latest.Select(b => b.Id));

    [Theory]
    [MemberData(nameof(Ids))]
    public void Embedded_EveryBook_FollowsTheSchema(string id) => Assert.True(FollowsSchema(RuleBookReader.Write(Book(id))));

    [Theory]
    [MemberData(nameof(Ids))]
    public void Write_ThenRead_GivesTheSameText(string id)
    {
        var text = RuleBookReader.Write(Book(id));
        Assert.True(RuleBookReader.Read(text).TryGet(out var again, out _));
        Assert.Equal(text, RuleBookReader.Write(again!));
    }

    [Theory]
    [MemberData(nameof(Ids))]
    public void EveryLimit_Source_IsCited(string id)
    {
        foreach (var limit in Book(id).Limits)
        {
            Assert.NotEmpty(limit.Sources);
            Assert.All(limit.Sources, s => Assert.False(string.IsNullOrWhiteSpace(s.Cite())));
            Assert.All(limit.Sources.Where(s => s.Status == SourceStatus.Memory), s => Assert.InRange(s.Confidence!.Value, 0.01, 1));
            // What is read or computed says where; only common practice and "none found" may have no document.
            Assert.All(limit.Sources.Where(s => s.Document is null), s => Assert.True(s.Status is SourceStatus.CommonPractice or SourceStatus.NoPublishedLimit));
            Assert.All(limit.Sources.Where(s => s.Document is not null), s => Assert.NotNull(s.Where));
        }
    }

    [Theory]
    [MemberData(nameof(Ids))]
    public void EveryBook_ApprovedData_GovernsAndAirworthinessIsNeverClaimed(string id)
    {
        Assert.Contains("approved data", Book(id).ApprovedData, StringComparison.Ordinal);
        Assert.Contains("nothing of airworthiness", Book(id).ApprovedData, StringComparison.Ordinal);
    }

    [Theory]
    [MemberData(nameof(Ids))]
    public void EveryBook_Ash_HasNoPublishedLimit(string id)
    {
        var species = Book(id).Limits.SelectMany(SpeciesNames).ToList();
        Assert.NotEmpty(species);
        Assert.DoesNotContain(species, n => n.Contains("ash", StringComparison.Ordinal));
        Assert.Contains(Book(id).Notes, n => n.Contains("ash", StringComparison.OrdinalIgnoreCase) && n.Contains("no published", StringComparison.Ordinal));
    }

    [Fact]
    public void EveryBlemishKind_EveryBook_HasALimit()
    {
        foreach (var book in RuleBookSet.Embedded.Latest)
        {
            foreach (var kind in Enum.GetValues<BlemishKind>())
                Assert.True(book.Limits.OfType<IBlemishLimit>().Any(l => l.Covers(kind)), $"{book.Id}: {kind}");
        }
    }

    [Theory] // ANC-19 Table 2-13, read; eastern white and sugar pine doubtful in the scan
    [InlineData("sitka-spruce", 6, 6)]
    [InlineData("red-spruce", 6, 6)]
    [InlineData("white-spruce", 6, 6)]
    [InlineData("douglas-fir-class-n", 8, 8)]
    [InlineData("douglas-fir-class-l", 6, 6)]
    [InlineData("douglas-fir", 6, 8)]
    [InlineData("noble-fir", 6, 6)]
    [InlineData("western-hemlock", 6, 6)]
    [InlineData("yellow-poplar", 6, 6)]
    [InlineData("port-orford-cedar", 8, 8)]
    [InlineData("eastern-white-pine", 6, 6)]
    [InlineData("western-white-pine", 6, 6)]
    [InlineData("sugar-pine", 6, 7)]
    public void RingLimit_Anc19Table2_13_IsTheTables(string species, double lax, double strict)
    {
        foreach (var id in new[] { "spar", "longeron-and-small-parts", "cap-strip" })
        {
            var rows = Book(id).Limits.OfType<RingsPerInchMinimum>().Single().Species.Where(r => r.Names.Contains(species)).ToList();
            Assert.Equal((lax, strict), (rows.Min(r => r.Least), rows.Max(r => r.Least)));
        }
    }

    [Theory] // ANC-19 Table 2-13, read
    [InlineData("sitka-spruce", 0.36)]
    [InlineData("douglas-fir-class-n", 0.45)]
    [InlineData("douglas-fir-class-l", 0.38)]
    [InlineData("noble-fir", 0.36)]
    [InlineData("western-hemlock", 0.40)]
    [InlineData("yellow-poplar", 0.38)]
    [InlineData("port-orford-cedar", 0.40)]
    [InlineData("western-white-pine", 0.38)]
    public void SpecificGravity_Anc19Table2_13_IsTheTables(string species, double least) => Assert.Equal(least,
        Book("spar").Limits.OfType<SpecificGravityMinimum>().Single().Species.Single(r => r.Names.Contains(species)).Least);

    [Theory] // AC 43.13-1B Table 1-1, read: 1:15 for every species listed
    [InlineData("sitka-spruce")]
    [InlineData("red-spruce")]
    [InlineData("white-spruce")]
    [InlineData("douglas-fir")]
    [InlineData("noble-fir")]
    [InlineData("western-hemlock")]
    [InlineData("northern-white-pine")]
    [InlineData("port-orford-white-cedar")]
    [InlineData("yellow-poplar")]
    public void SlopeLimit_Ac4313Table1_1_IsOneInFifteen(string species)
    {
        var limit = Book("spar").Limits.OfType<SlopeOfGrain>().Single();
        Assert.Equal(15, limit.Species.Single(r => r.Names.Contains(species)).SteepestOneIn);
        // ANC-19 2.4102, computed: 15 times root 2 = 21.2132
        Assert.InRange(limit.NoCombinedCheckFromOneIn, 15 * Math.Sqrt(2), 21.214);
    }

    [Theory] // AC 43.13-1B, computed: 20 in x d / (3/8 in)
    [InlineData(0.375, 20)]
    [InlineData(0.25, 13.33)]
    [InlineData(0.1875, 10.0)]
    [InlineData(0.125, 6.67)]
    public void KnotSpacing_SmallerKnots_ProportionatelyCloser(double diameterIn, double spacingIn) =>
        Assert.Equal(spacingIn, Book("spar").Limits.OfType<KnotInBeam>().Single().SpacingInFor(diameterIn), 0.005);

    [Fact]
    public void Spar_Figures_AreTheStandards()
    {
        var limits = Book("spar").Limits;
        var knot = limits.OfType<KnotInBeam>().Single(); // AC 43.13-1B Table 1-1 notes, read
        Assert.Equal((0.375, 0.25, 20.0), (knot.LargestDiameterIn, knot.CautionAboveIn, knot.SpacingIn));
        Assert.Equal(1.0 / 3, knot.MiddleShare, 0.000001);
        var pocket = limits.OfType<PitchPocketInBeam>().Single(); // the same
        Assert.Equal((1.5, 0.125, 0.125, 14.0), (pocket.LongestIn, pocket.WidestIn, pocket.DeepestIn, pocket.ApartIn));
        var solid = limits.OfType<PitchPocketInSolidSpar>().Single(); // ANC-19 2.4213, read
        Assert.Equal((2.0, 4.0, 6.0, 6.0), (solid.LongestIn, solid.LengthPerEdgeDistance, solid.ApartPerShorter, solid.ApartPerLongerInOneLayer));
        var edge = limits.OfType<EdgeGrain>().Single(); // ANC-19 2.402 and 2.4211, read
        Assert.Equal(45, edge.LeastDeg);
        Assert.Equal(2.0 / 3, edge.ShareOfDepth, 0.0001);
        Assert.Equal(15, limits.OfType<SlopeOuterPart>().Single().SteepestOneIn); // AC 43.13-1B par. 1-39, read
        Assert.Equal(10, limits.OfType<SlopeMiddleHalf>().Single().SteepestOneIn); // ANC-19 2.4102, read
        var moisture = limits.OfType<MoistureRange>().Single(); // ANC-19 2.412, read
        Assert.Equal((8.0, 12.0), (moisture.LeastPercent, moisture.MostPercent));
    }

    [Fact]
    public void SmallParts_Figures_AreAnc19s() // ANC-19 2.426 to 2.4264, read
    {
        foreach (var id in new[] { "longeron-and-small-parts", "cap-strip" })
        {
            var knot = Book(id).Limits.OfType<KnotInSmallPart>().Single();
            Assert.Equal((0.125, 0.5), (knot.LargestShareOfWidth, knot.MiddleShare));
            var pocket = Book(id).Limits.OfType<PitchPocketInSmallPart>().Single();
            Assert.Equal((1.0, 0.125, 0.125, 2.0, 4.0), (pocket.NoneBelowIn, pocket.DepthShare, pocket.WidthShare, pocket.LongestIn, pocket.LengthPerEdgeDistance));
            Assert.Equal(OuterPart.OuterQuarter, Book(id).Limits.OfType<SlopeOuterPart>().Single().Part);
        }
    }

    [Fact]
    public void ShopOrder_Figures_SayCommonPractice()
    {
        var rings = Book("shop-order").Limits.OfType<RingsPerInchRange>().Single();
        Assert.All(rings.Species, r => Assert.Equal((10.0, 12.0), (r.Least, r.Most)));
        Assert.All(rings.Sources, s => Assert.Equal(SourceStatus.CommonPractice, s.Status));
        Assert.Contains("no source", rings.Source, StringComparison.Ordinal);
    }

    [Fact]
    public void SpikeKnotCheckShakeSplit_EveryBookOfParts_NeverAllowed() // AC 43.13-1B Table 1-1 notes, read
    {
        foreach (var id in new[] { "spar", "longeron-and-small-parts", "cap-strip" })
        {
            foreach (var kind in new[] { BlemishKind.SpikeKnot, BlemishKind.Check, BlemishKind.ShakeOrSplit, BlemishKind.LooseKnot })
                Assert.Contains(Book(id).Limits.OfType<NeverAllowed>(), l => l.Covers(kind));
        }
    }

    internal static RuleBook Book(string id) => RuleBookSet.Embedded.TryGet(id, out var book) ? book : throw new InvalidOperationException(id);

    internal static bool FollowsSchema(string json)
    {
        using var document = JsonDocument.Parse(json);
        return Schema.Evaluate(document.RootElement).IsValid;
    }

    private static IEnumerable<string> SpeciesNames(Limit limit) =>
        limit is ISpeciesLimit<SpeciesValue> l ? l.Species.SelectMany(r => r.Names) : [];

    [Fact]
    public void WithOwn_VersionThatTheProgramBringsToo_TheShopsStands()
    {
        Assert.True(RuleBookSet.Embedded.TryGet("spar", out var embedded));
        var own = embedded with { Title = "The shop's own" };
        var shelf = RuleBookSet.Embedded.WithOwn([own]);
        Assert.True(shelf.TryGet("spar", embedded.Version, out var standing));
        Assert.Equal("The shop's own", standing.Title);
        Assert.Equal(RuleBookSet.Embedded.Latest.Count, shelf.Latest.Count);
    }
}
