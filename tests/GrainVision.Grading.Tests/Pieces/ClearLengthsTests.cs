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

    [Fact] // this project's rule: streaks are not yet proven on real wood
    public void Find_SlopeFromUnconfirmedStreaks_AsksForTheHandCheck()
    {
        var photos = Unconfirmed(Photos(), Surface.Face2);
        Assert.Contains(Assert.Single(Of(photos)).HandChecks, h => h.StartsWith("Ink, scribe or split this face", StringComparison.Ordinal));
        Assert.DoesNotContain(Assert.Single(Of(Photos())).HandChecks, h => h.StartsWith("Ink, scribe or split this face", StringComparison.Ordinal));
        var reason = Assert.Single(photos.Judged().Reasons, r => r.LimitId == "fibre-streaks");
        Assert.Equal((Grading.Findings.VerdictOutcome.Hold, Surface.Face2), (reason.Outcome, reason.Surface!.Value));
    }

    private static IReadOnlyList<PlacedMeasurement> Unconfirmed(IReadOnlyList<PlacedMeasurement> photos, Surface face) =>
        [.. photos.Select(p => p.Place.Surface == face ? p with { Measurement = p.Measurement with { Grain = p.Measurement.Grain! with { ByHand = false } } } : p)];

    [Fact]
    public void Find_BlemishThatCannotBePlaced_GivesNone() =>
        Assert.Empty(Of([.. Photos(), Face(Surface.Face1, null, 400, name: "x", blemishes: Knot(4, 200))]));

    [Fact]
    public void Find_NoFaceShown_GivesNone() => Assert.Empty(Of(Photos().Without(Faces)));

    [Fact] // 900 of 1524 mm shown, less the 25 mm of its station
    public void Find_PartOfOneFaceShown_IsThatPartOnly()
    {
        var clear = Assert.Single(Of([.. Photos().Without(Faces), Face(Surface.Face1, 0, 900)]));
        Assert.Equal((0.0, 875.0), (clear.FromMm, clear.ToMm));
    }

    [Theory] // no station and not said to be whole: 1 % off the length at most, and known to 5 %
    [InlineData(1.0, 0.004, true)]
    [InlineData(0.985, 0.004, false)]
    [InlineData(1.0, 0.08, false)]
    public void Find_PhotoAsLongAsThePiece_ShowsItFromEndToEnd(double share, double half, bool isWhole)
    {
        var shown = new SectionSize(Samples.About(share * LengthMm, half * LengthMm), Measured.Exact(WideMm));
        var photo = Face(Surface.Face1) with { Place = new PhotoPlace(7, Surface.Face1) };
        var clear = Of([.. Photos().Without(Faces), photo with { Measurement = photo.Measurement with { Size = shown } }]);
        Assert.Equal(isWhole ? [(0.0, LengthMm)] : [], clear.Select(Whole));
    }

    [Fact] // a window of 1:5 from 500 to 700 mm in a photo from end to end, and its station's 25 mm
    public void Find_OneWindowTooSteep_TakesOutItsStretch()
    {
        var clear = Of(Photos().With(Windowed(0.2)));
        Assert.Equal([(0.0, 475.0), (725.0, LengthMm)], clear.Select(Whole));
        Assert.All(clear, c => Assert.StartsWith("Elsewhere on this piece", c.HandChecks[0], StringComparison.Ordinal));
    }

    [Fact] // the worst window is in no list of windows: nothing says where it lies
    public void Find_SteepestWindowIsNotAmongThem_GivesNone()
    {
        var photo = Windowed(0.02);
        var grain = photo.Measurement.Grain! with { WorstWindow = Measured.Exact(0.2) };
        Assert.Empty(Of(Photos().With(photo with { Measurement = photo.Measurement with { Grain = grain } })));
    }

    [Fact] // 0.05 on two adjacent faces is 1:14.1 together; on one alone each passes the rejection at 1:15 (0.0667)
    public void Find_AdjacentFacesTooSteepTogether_TakesOutWhereBothAre()
    {
        Assert.Equal([(0.0, 475.0), (725.0, LengthMm)], Of(Photos().With(Windowed(0.05), Windowed(0.05, Surface.Face2))).Select(Whole));
        Assert.Single(Of(Photos().With(Windowed(0.05), Face(Surface.Face2, slope: Measured.Exact(0.01)))));
    }

    [Fact] // the steep photo shows 0 to 800 mm: with its 25 mm that part goes, the other photo's stays
    public void Find_OnePhotoTooSteepWithoutWindows_TakesOutWhatItShows()
    {
        var clear = Assert.Single(Of([
            .. Photos().Without(Surface.Face1), Face(Surface.Face1, 0, 800, Measured.Exact(0.2)), Face(Surface.Face1, 700, LengthMm - 700, name: "2")]));
        Assert.Equal((825.0, LengthMm), Whole(clear));
    }

    [Fact] // moisture out of range holds, so it is no reject of the piece; rings do reject whatever the slope says
    public void Find_RingsRejectedAndSlopeToo_GivesNone() =>
        Assert.Empty(Of(Photos().With(Windowed(0.2), End(Surface.EndB, Samples.About(4, 0.2)))));

    [Fact]
    public void Find_OneBlemishMoreOrMoreUncertainty_NeverGivesMoreLength()
    {
        var random = new Random(34);
        for (var i = 0; i < 60; i++)
        {
            List<(Surface, BlemishFinding)> marks = [.. Enumerable.Range(0, random.Next(3)).Select(_ => Mark(random))];
            var before = Of(Photos(marks));
            var more = Of(Photos([.. marks, Mark(random)]));
            IReadOnlyList<PlacedMeasurement> unsure = [.. Photos(marks).Select(p => p with { Place = p.Place with { StationUncertaintyMm = 40 } })];
            foreach (var length in more.Concat(Of(unsure)))
                Assert.Contains(before, b => b.FromMm <= length.FromMm && length.ToMm <= b.ToMm);
        }
    }

    [Fact]
    public void Find_EndForEnd_IsMirrored()
    {
        var random = new Random(35);
        for (var i = 0; i < 60; i++)
        {
            List<(Surface Surface, BlemishFinding Blemish)> marks = [.. Enumerable.Range(0, random.Next(4)).Select(_ => Mark(random))];
            var there = Of(Photos(marks)).Select(Whole);
            var back = Of(Photos([.. marks.Select(m => (m.Surface, m.Blemish with { AlongMm = LengthMm - m.Blemish.AlongMm }))]));
            Assert.Equal(there, back.Select(c => (Math.Round(LengthMm - c.ToMm, 3), Math.Round(LengthMm - c.FromMm, 3))).Reverse());
        }
    }

    private static (Surface Surface, BlemishFinding Blemish) Mark(Random random) =>
        (random.Next(2) == 0 ? Surface.Face1 : Surface.Face3, Knot(2 + (9 * random.NextDouble()), LengthMm * random.NextDouble(), probability: 0.5 + random.NextDouble() / 2));

    /// <summary>Stations to a thousandth of a mm: feet in mm are not exact.</summary>
    private static (double From, double To) Whole(ClearLength clear) => (Math.Round(clear.FromMm, 3), Math.Round(clear.ToMm, 3));

    /// <summary>A face in one photo, straight but for one window from 500 to 700 mm.</summary>
    private static PlacedMeasurement Windowed(double tangent, Surface face = Surface.Face1)
    {
        var photo = Face(face, slope: Measured.Exact(0.01));
        var worst = Measured.Exact(tangent);
        return photo with
        {
            Measurement = photo.Measurement with
            {
                Grain = photo.Measurement.Grain! with
                {
                    WorstWindow = worst,
                    Along = [new SlopeAlong(0, 500, Measured.Exact(0.01)), new SlopeAlong(500, 700, worst), new SlopeAlong(700, LengthMm, Measured.Exact(0.01))],
                },
            },
        };
    }

    private static IReadOnlyList<ClearLength> Of(IReadOnlyList<PlacedMeasurement> photos) =>
        ClearLengths.Find(Flitch, photos.Joined(), Samples.Spar);
}
