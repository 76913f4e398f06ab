using GrainVision.Grading.Deliveries;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Pieces;
using GrainVision.Grading.Quantities;
using GrainVision.Grading.Tests.Verdicts;
using static GrainVision.Grading.Tests.Pieces.PieceSamples;

namespace GrainVision.Grading.Tests.Pieces;

public class ClearLengthsTests
{
    [Fact]
    public void Find_NoBlemish_IsTheWholeLength()
    {
        var clear = Assert.Single(Of(Photos()));
        Assert.Equal(0, clear.FromMm);
        Assert.Equal(LengthMm, clear.ToMm, 1e-6);
    }

    [Theory] // the station's 25 mm, half its length, and two widths of disturbed grain: 25 + 5 + 20 mm to each side
    [InlineData(BlemishKind.Check, 1.0)]
    [InlineData(BlemishKind.Knot, 0.1)]
    public void Find_AnyCandidate_IsCutRoundWithItsMargins(BlemishKind kind, double probability)
    {
        var clear = Of(Photos((Surface.Face1, Knot(10, 700, probability: probability, kind: kind))));
        Assert.Equal(2, clear.Count);
        Assert.Equal((650.0, 750.0), (clear[0].ToMm, clear[1].FromMm));
    }

    [Fact]
    public void Find_RingsRejected_GivesNone() => Assert.Empty(Of(Photos().With(End(Surface.EndA, Samples.About(4, 0.2)))));

    [Fact]
    public void Find_SlopeRejected_GivesNone() => Assert.Empty(Of(Photos().With(Face(Surface.Face1, slope: Measured.Exact(0.2)))));

    [Fact]
    public void Find_Hold_GivesALengthWithItsHandCheck() =>
        Assert.Contains(Assert.Single(Of(Photos().Without(Surface.Face3))).HandChecks, h => h.StartsWith("Face 3 was not photographed", StringComparison.Ordinal));

    [Fact]
    public void Find_BlemishThatCannotBePlaced_GivesNone() =>
        Assert.Empty(Of([.. Photos(), Face(Surface.Face1, null, 400, name: "x", blemishes: Knot(4, 200))]));

    [Fact]
    public void Find_NoFaceShown_GivesNone() => Assert.Empty(Of(Photos().Without(Faces)));

    private static IReadOnlyList<ClearLength> Of(IReadOnlyList<PlacedMeasurement> photos) =>
        ClearLengths.Find(Flitch, photos.Joined(), Samples.Spar);
}
