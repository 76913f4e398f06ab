using System.Text.Json;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Pieces;
using GrainVision.Grading.Quantities;
using GrainVision.Grading.Tests.Verdicts;
using static GrainVision.Grading.Tests.Pieces.PieceSamples;

namespace GrainVision.Grading.Tests.Pieces;

public class PieceJoinerTests
{
    [Fact]
    public void Join_BothEnds_WorstInchOfEitherGoverns() // ANC-19 2.413: "in any 1 inch ... on either end"
    {
        var findings = Photos().With(End(Surface.EndA, Samples.About(9, 0.2)), End(Surface.EndB, new Measured(9.1, 8.1, 9.3))).Joined();
        Assert.Equal(new Measured(9, 8.1, 9.2), findings.WorstInch);
        Assert.Empty(findings.NotShown);
    }

    [Fact]
    public void Join_RingAngle_IsTheLeastOfTheEnds() => Assert.Equal(
        new Measured(62, 61, 63), Photos().With(End(Surface.EndA, angle: Samples.Angle(80, 1)), End(Surface.EndB, angle: Samples.Angle(62, 1))).Joined().RingAngleDegrees);

    [Theory] // ANC-19 2.3022: 1:20 and 1:30 make 1:16 2/3 (exact 16.641); Table 2-11 note: 1:20 and 1:25 make 15.6, 1:18 and 1:22 make 13.9
    [InlineData(20, 30, 16.641)]
    [InlineData(20, 25, 15.617)]
    [InlineData(18, 22, 13.931)]
    public void Join_AdjacentFaces_CombineToTheTrueSlope(double wide, double narrow, double expected)
    {
        var findings = Photos().With(
            Face(Surface.Face1, slope: Measured.Exact(1 / wide)), Face(Surface.Face2, slope: Measured.Exact(-1 / narrow)),
            Face(Surface.Face3, slope: Measured.Exact(0)), Face(Surface.Face4, slope: Measured.Exact(0))).Joined();
        Assert.Equal(expected, 1 / findings.CombinedSlope!.Value.Value, 0.001);
    }

    [Fact]
    public void Join_RingLinesOnAllFaces_NoTrueSlope() // ANC-19 2.3206: two faces at right angles cannot both be radial
    {
        PlacedMeasurement[] faces = [.. Faces.Select(f => Face(f, basis: GrainBasis.RingLines))];
        Assert.Null(Photos().With(faces).Joined().CombinedSlope);
    }

    [Fact]
    public void Join_RingLinesOnAFaceThatTheEndsShowToBeFlat_AreNotTakenForFibres()
    {
        // Rings at 80 degrees to the wide face stand at 10 to the narrow one.
        var findings = Photos().With(Face(Surface.Face2, basis: GrainBasis.RingLines)).Joined();
        Assert.Contains(findings.CannotSay, c => c.What == CannotSayTopic.Grain && c.Why.Contains("Face 2", StringComparison.Ordinal));
    }

    [Fact]
    public void Join_SameKnotInTwoOverlappingPhotosOfAFace_CountsOnce()
    {
        var findings = Photos().With(
            Face(Surface.Face1, 0, 900, blemishes: Knot(6, 760)),
            Face(Surface.Face1, 600, LengthMm - 600, blemishes: Knot(6.4, 170))).Joined();
        var knot = Assert.Single(findings.Blemishes);
        Assert.Equal([Surface.Face1, Surface.Face1], knot.Surfaces);
        Assert.Equal(2, knot.Photos.Distinct().Count());
        Assert.Equal(765, knot.StationMm!.Value, 0.001);
    }

    [Fact]
    public void Join_TwoKnotsInTheOverlap_StayTwo()
    {
        var findings = Photos().With(
            Face(Surface.Face1, 0, 900, blemishes: [Knot(6, 740), Knot(6, 780)]),
            Face(Surface.Face1, 600, LengthMm - 600, blemishes: [Knot(6, 140), Knot(6, 180)])).Joined();
        Assert.Equal(2, findings.Blemishes.Count);
        Assert.All(findings.Blemishes, b => Assert.Equal(2, b.Photos.Count));
    }

    [Fact]
    public void Join_KnotOnOppositeFaces_IsAveragedAndCountedOnce() // ANC-19 2.301, 2.4201
    {
        var knot = Assert.Single(Photos((Surface.Face1, Knot(10, 700)), (Surface.Face3, Knot(6, 705))).Joined().Blemishes);
        Assert.Equal((8.0, 8.0), (knot.DiameterMm.Value, knot.SizeMm.Value));
        Assert.Equal([Surface.Face1, Surface.Face3], knot.Surfaces);
        Assert.Equal(702.5, knot.StationMm);
    }

    [Fact]
    public void Join_KnotsOnOppositeFacesFarApart_AreTwo() => // face to face through 2 in, stations 25 mm sure: 100 mm and more is another knot
        Assert.Equal(2, Photos((Surface.Face1, Knot(10, 700)), (Surface.Face3, Knot(6, 800))).Joined().Blemishes.Count);

    [Fact]
    public void Join_CheckRoundAnEdge_CountsOnce()
    {
        var edge = Samples.Mark(BlemishKind.Check, 60, 3, 500, 1.5);
        var blemishes = Photos((Surface.Face1, edge), (Surface.Face2, edge)).Joined().Blemishes;
        Assert.Equal([Surface.Face1, Surface.Face2], Assert.Single(blemishes).Surfaces);
        Assert.Equal(2, Photos((Surface.Face1, edge), (Surface.Face2, edge with { EdgeDistanceMm = 10, AcrossMm = 12 })).Joined().Blemishes.Count);
    }

    [Fact]
    public void Join_PhotoFromEndB_CountsStationsBackwards()
    {
        var photo = Face(Surface.Face1, 1500, 1500, blemishes: Knot(6, 200));
        var findings = Photos().With(photo with { Place = photo.Place with { FromEndB = true } }).Joined();
        Assert.Equal(1300, Assert.Single(findings.Blemishes).StationMm);
    }

    [Fact]
    public void Join_StationUnknown_SaysThatItCannotPlaceTheKnot()
    {
        var findings = Photos().With(Face(Surface.Face1, null, 800, blemishes: Knot(6, 200))).Joined();
        Assert.Null(Assert.Single(findings.Blemishes).StationMm);
        Assert.Contains(findings.CannotSay, c => c.What == CannotSayTopic.PlaceAlongPiece && c.Why.Contains("face 1", StringComparison.Ordinal));
    }

    [Fact]
    public void Join_SurfacesWithoutAPhoto_AreNamed() =>
        Assert.Equal([Surface.EndB, Surface.Face4], Photos().Without(Surface.Face4, Surface.EndB).Joined().NotShown);

    [Fact]
    public void Join_PhotoThatCannotBeWhereItIsSaid_IsLeftOutAndSaid()
    {
        var narrow = Face(Surface.Face2, name: "x"); // 50 mm wide, said to be the 150 mm face 1
        var findings = Photos().With(narrow with { Place = narrow.Place with { Surface = Surface.Face1 } }).Joined();
        Assert.Contains(Surface.Face1, findings.NotShown);
        Assert.Contains(findings.CannotSay, c => c.Why.Contains("50 mm wide, as a narrow face", StringComparison.Ordinal));
        Assert.Equal(6, findings.Photos.Count);
    }

    [Fact]
    public void Join_OnePhotoOnTwoFaces_CountsForNeither()
    {
        var twice = Face(Surface.Face1);
        var findings = Photos().With(twice, twice with { Place = twice.Place with { Surface = Surface.Face3 } }).Joined();
        Assert.Equal([Surface.Face1, Surface.Face3], findings.NotShown);
    }

    [Fact]
    public void Join_PhotosInAnyOrder_GiveTheSameFindings()
    {
        var photos = Photos((Surface.Face1, Knot(10, 700)), (Surface.Face3, Knot(6, 705)), (Surface.Face2, Knot(3, 300, width: NarrowMm)));
        var one = JsonSerializer.Serialize(photos.Joined(), ContractJson.Options);
        Assert.Equal(one, JsonSerializer.Serialize(((IReadOnlyList<PlacedMeasurement>)[.. photos.Reverse()]).Joined(), ContractJson.Options));
    }

    [Fact]
    public void Join_PhotoOfAnotherPiece_IsABug() =>
        Assert.Throws<ArgumentException>(() => Photos().Joined(Flitch with { Number = 8 }));

    [Theory]
    [InlineData(Surface.Face1, 67.0)]
    [InlineData(Surface.Face2, 17.0)]
    [InlineData(Surface.Face3, 67.0)]
    [InlineData(Surface.EndA, null)]
    public void FaceRingAngle_FromTheEnds_IsForTheFacesMeasuring(Surface face, double? expected)
    {
        Assert.Equal(expected, FaceRingAngle.ForMeasuring(Flitch, face, 67, 73));
        Assert.Null(FaceRingAngle.ForMeasuring(Flitch, face, null, null));
        Assert.Null(FaceRingAngle.ForMeasuring(Flitch with { WidthIn = 2 }, face, 67, 73)); // square: no wide face
    }
}
