using System.Runtime.InteropServices;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Measuring.Intake;
using GrainVision.Measuring.Scale;
using GrainVision.Measuring.Section;
using GrainVision.Measuring.Surfaces;
using GrainVision.Synthesis;
using OpenCvSharp;

namespace GrainVision.Measuring.Tests.Surfaces;

/// <summary>The surface network as it runs in the product.</summary>
public sealed class SurfaceNetworkTests
{
    /// <summary>A face read in tiles gives what it gives at once: what is kept of a tile lies further from its rim than the network sees.</summary>
    [Fact]
    public void Read_InTiles_SameAsTheWhole()
    {
        using var picture = Drawn(150_021);
        Assert.True(picture.Bgr.Width > 800, "one tile; this proves nothing");
        var whole = SurfaceNetwork.Embedded(View.Face).Read(picture);
        var tiled = SurfaceNetwork.Embedded(View.Face).Read(picture, tileSide: 768);
        foreach (var c in Enum.GetValues<MarkClass>().Where(c => whole[c] is not null))
        {
            var most = whole[c]!.Zip(tiled[c]!, (a, b) => Math.Abs(a - b)).Max();
            // 1 of 65,535: the last digit of a sum may differ with the size of what is summed.
            Assert.True(most <= 1, $"{c}: {most}");
        }
    }

    [Fact]
    public void Read_Twice_AndFromManyThreads_SameBytes()
    {
        using var picture = Drawn(150_022);
        var once = SurfaceNetwork.Embedded(View.Face).Read(picture);
        foreach (var again in Enumerable.Range(0, 3).AsParallel().Select(_ => SurfaceNetwork.Embedded(View.Face).Read(picture)).ToList())
            Assert.All(Enum.GetValues<MarkClass>().Where(c => once[c] is not null), c => Assert.Equal(once[c]!, again[c]!));
    }

    [Theory]
    [InlineData(2.5, View.Face, 6)]
    [InlineData(6, View.Face, 6)]
    [InlineData(19, View.Face, 6)]
    [InlineData(6, View.End, 9)]
    [InlineData(19, View.End, 9)]
    public void Resample_AnyScaleOfThePhoto_PitchOfTheViewAndFourMillimetresBeside(double pxPerMm, View view, int pitch)
    {
        using var photo = new UprightPhoto(new Mat((int)(50 * pxPerMm), (int)(90 * pxPerMm), MatType.CV_8UC3, Scalar.All(150)), "", []);
        PointPx[] corners = [new(5 * pxPerMm, 5 * pxPerMm), new(85 * pxPerMm, 5 * pxPerMm), new(85 * pxPerMm, 45 * pxPerMm), new(5 * pxPerMm, 45 * pxPerMm)];
        using var picture = SurfacePicture.Resample(photo, SurfaceFrame.Create(corners, PhotoScale.Uniform(new ScaleFinding(ScaleKind.Pitch, Measured.Exact(pxPerMm)))), view);
        Assert.Equal(pitch, picture.PitchPxPerMm, 1e-9);
        Assert.Equal(-4, picture.OriginMm.X, 0.1);
        Assert.Equal(0, picture.Bgr.Width % 16);
        Assert.InRange(picture.Bgr.Width, 88 * pitch, (88 * pitch) + 16);
        Assert.InRange(picture.Bgr.Height, 48 * pitch, (48 * pitch) + 16);
    }

    /// <summary>A board of 4 m at 4 px/mm is 64 MP of photo: its surface is read coarser, within the memory that is set aside.</summary>
    [Fact]
    public void Resample_LongBoard_IsReadCoarser()
    {
        using var photo = new UprightPhoto(new Mat(400, 4000, MatType.CV_8UC3, Scalar.All(150)), "", []);
        PointPx[] corners = [new(10, 10), new(3990, 10), new(3990, 390), new(10, 390)];
        using var picture = SurfacePicture.Resample(photo, SurfaceFrame.Create(corners, PhotoScale.Uniform(new ScaleFinding(ScaleKind.Pitch, Measured.Exact(1)))), View.Face);
        Assert.InRange((double)picture.Bgr.Width * picture.Bgr.Height, 7e6, 10e6);
    }

    private static SurfacePicture Drawn(int seed)
    {
        var made = Synthesiser.Make(new SceneRequest { Seed = seed, View = View.Face, Megapixels = 1 });
        var mat = new Mat(made.Height, made.Width, MatType.CV_8UC3);
        Marshal.Copy(made.Bgr, 0, mat.Data, made.Bgr.Length);
        using var photo = new UprightPhoto(mat, "", []);
        return SurfacePicture.Resample(photo, SurfaceFrame.Create(made.Truth.Outline, PhotoScale.Uniform(new ScaleFinding(ScaleKind.Pitch, Measured.Exact(made.Truth.Scale.PixelsPerMm)))), View.Face);
    }
}
