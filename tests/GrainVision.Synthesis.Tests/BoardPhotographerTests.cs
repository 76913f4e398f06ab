using GrainVision.Grading.Findings;

namespace GrainVision.Synthesis.Tests;

/// <summary>A whole board in photos: geometry against the board's own sizes.</summary>
public class BoardPhotographerTests
{
    private static readonly BoardCare Care = new(Difficulty.Easy, ScaleProp.MmRule, Harmless: false) { FacePxPerMm = 1.5 };

    [Theory]
    [InlineData(304.8, 6)]
    [InlineData(609.6, 10)]
    public void Shots_CoverBothEndsAndFourFacesEndToEnd(double lengthMm, int photos)
    {
        var photographer = Photographer(lengthMm, []);
        var shots = photographer.Shots();
        Assert.Equal(photos, shots.Count);
        foreach (var face in shots.Where(s => s.Surface > Surface.EndB).GroupBy(s => s.Surface))
        {
            var stretches = face.Select(s => Stretch(photographer, s)).OrderBy(s => s.From).ToList();
            Assert.Equal(0, stretches[0].From, 0.5);
            Assert.Equal(lengthMm, stretches[^1].To, 0.5);
            // More than the inch that a tape may be off by on either side.
            if (stretches.Count == 2)
                Assert.InRange(stretches[0].To - stretches[1].From, 51, 150);
        }
    }

    [Fact]
    public void Blemish_InBothPhotosOfAFace_LiesAtOneStationWithOneSize()
    {
        for (var seed = 1; seed < 400; seed++)
        {
            var photographer = Photographer(609.6, [BlemishKind.BoreHole], seed);
            var seen = photographer.Shots().Where(s => s.Surface == Surface.Face1)
                .Select(s => (GroundTruth.Tell(photographer.Scene(s, Care, 0, out var station)).Blemishes, Station: station)).ToList();
            if (seen.Any(s => s.Blemishes.Count != 1))
                continue;
            Assert.Equal(seen[0].Station + seen[0].Blemishes[0].AlongMm, seen[1].Station + seen[1].Blemishes[0].AlongMm, 0.2);
            Assert.Equal(seen[0].Blemishes[0].DiameterMm, seen[1].Blemishes[0].DiameterMm, 0.1);
            return;
        }

        Assert.Fail("No seed put a hole where both photos show it.");
    }

    private static BoardPhotographer Photographer(double lengthMm, IReadOnlyList<BlemishKind> onFace1, int seed = 3) => new(
        new BoardSpec("sitka-spruce", 69.85, 25.4, lengthMm, 11, 80, 0.01, 0.01), seed, new Dictionary<Surface, IReadOnlyList<BlemishKind>> { [Surface.Face1] = onFace1 });

    private static (double From, double To) Stretch(BoardPhotographer photographer, BoardShot shot)
    {
        var (left, right) = SurfaceOutlineOf(photographer.Scene(shot, Care, 0, out var station));
        return (station, station + (right - left));
    }

    /// <summary>Ends of what the photo shows, by the camera alone, mm from the middle of the face.</summary>
    private static (double Left, double Right) SurfaceOutlineOf(Scene scene)
    {
        var corners = GroundTruth.Tell(scene).Outline.Select(p => scene.Camera.PxFromSurface().Inverse().Apply(scene.Camera.Undistort(p))).ToList();
        return (corners.Min(c => c.X), corners.Max(c => c.X));
    }
}
