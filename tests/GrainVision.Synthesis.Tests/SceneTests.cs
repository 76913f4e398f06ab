using System.Diagnostics;
using System.Text.Json;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Measuring;
using GrainVision.Measuring.Intake;
using GrainVision.Measuring.Scale;
using OpenCvSharp;
using SixLabors.ImageSharp;
using SixLabors.ImageSharp.PixelFormats;
using SixLabors.ImageSharp.Processing;

namespace GrainVision.Synthesis.Tests;

public class SceneTests
{
    [Theory]
    [InlineData(View.End)]
    [InlineData(View.Face)]
    public void Make_SameSeed_SameBytes(View view)
    {
        var request = new SceneRequest { Seed = 17, View = view, Megapixels = 0.3, Difficulty = Difficulty.Hard };
        var a = Synthesiser.Make(request);
        var b = Synthesiser.Make(request);
        Assert.Equal(a.ToJpeg(), b.ToJpeg());
        Assert.Equal(Synthesiser.ToJson(a.Truth), Synthesiser.ToJson(b.Truth));
        Assert.NotEqual(a.ToJpeg(), Synthesiser.Make(request with { Seed = 18 }).ToJpeg());
    }

    [Fact]
    public void Truth_ManySeeds_KeepsWhatTheDifficultyPromises()
    {
        for (var seed = 1; seed <= 90; seed++)
        {
            var view = seed % 3 == 0 ? View.Face : View.End;
            var truth = GroundTruth.Tell(SceneBuilder.Build(new SceneRequest { Seed = seed, View = view, Difficulty = (Difficulty)(seed % 3) }));
            if (view == View.End)
            {
                Assert.All(truth.Outline, p => Assert.True(p.X >= 0 && p.Y >= 0 && p.X < truth.Photo.Width && p.Y < truth.Photo.Height, $"seed {seed}: {p}"));
                Assert.True(truth.Conditions.PxPerRing > (seed % 3) switch { 0 => 8.5, 1 => 5.5, _ => 2.5 }, $"seed {seed}: {truth.Conditions.PxPerRing} px a ring");
                Assert.True(truth.Rings!.Count >= 2, $"seed {seed}");
                Assert.InRange(truth.Rings.LatewoodShare, 0.1, 0.8);
            }
            else
                Assert.InRange(Math.Abs(truth.Grain!.Slope), 0, 0.35);
            Assert.True(truth.Conditions.TiltDeg <= 25.001);
        }
    }

    [Fact]
    public void Outline_InThePixels_PartsWoodFromBench()
    {
        var photo = Synthesiser.Make(new SceneRequest { Seed = 3, View = View.End, Megapixels = 0.6, Plain = true, Scale = ScaleProp.None, Difficulty = Difficulty.Easy, TiltDeg = 8, RotationDeg = 4, LensK1 = 0.02, Bench = Bench.Black });
        var probe = new PhotoProbe(photo);
        var corners = photo.Truth.Outline;
        var middle = (corners[0] + corners[1] + corners[2] + corners[3]) * 0.25;
        foreach (var c in corners)
        {
            var inward = (middle - c) * (1 / (middle - c).Length);
            Assert.True(probe.At(c + (inward * 4)) > 70, $"dark inside {c}");
        }

        // Half way between corners the edge bows with the lens, by under 2 px here; beyond that lies the bench or a side in shade.
        Assert.True(probe.At(new PointPx(corners[0].X - 12, middle.Y)) < 110);
    }

    [Fact]
    public void Rule_Metric_TicksLieOnWholeMillimetres()
    {
        var photo = Synthesiser.Make(new SceneRequest { Seed = 9, View = View.End, Megapixels = 1.5, Plain = true, Scale = ScaleProp.MmRule, WidthMm = 70, ThicknessMm = 30, RingsPerInch = 8, BlurSigmaPx = 0.3, NoiseLevels = 0 });
        var probe = new PhotoProbe(photo);
        var corner = photo.Truth.Scale.PropOutline!;
        var length = photo.Scene.PropLengthMm;
        PointPx On(double mm) => corner[0] + ((corner[1] - corner[0]) * (mm / length)) + ((corner[3] - corner[0]) * (2 / photo.Scene.PropWidthMm));
        for (var mm = 5; mm < 60; mm++)
            Assert.True(probe.At(On(mm)) < probe.At(On(mm + 0.5)) - 25, $"no tick at {mm} mm");
        Assert.InRange(photo.Truth.Scale.PixelsPerMm, ((corner[1] - corner[0]).Length / length) - 0.001, ((corner[1] - corner[0]).Length / length) + 0.001);
    }

    [Fact]
    public void Card_BesideThePiece_GivesTheTrueScale()
    {
        // ArUco markers and chessboard corners found by OpenCV: nothing of the synthesiser's own geometry.
        var photo = Synthesiser.Make(new SceneRequest { Seed = 11, View = View.End, Megapixels = 1.5, Difficulty = Difficulty.Medium, Scale = ScaleProp.Card, LensK1 = 0, WidthMm = 110, ThicknessMm = 40, RingsPerInch = 8 });
        using var pixels = Mat.FromPixelData(photo.Height, photo.Width, MatType.CV_8UC3, photo.Bgr);
        using var upright = new UprightPhoto(pixels.Clone(), "", []);
        Assert.True(ScaleStage.Find(upright, new CardScale(), CancellationToken.None).TryGet(out var scale, out var refusal), refusal?.Message);
        Assert.NotNull(scale);
        var corners = photo.Truth.Outline.Select(scale.ToMm).ToList();
        var first = Math.Sqrt(Math.Pow(corners[1].X - corners[0].X, 2) + Math.Pow(corners[1].Y - corners[0].Y, 2));
        Assert.InRange(first / photo.Truth.SizeMm.First, 0.995, 1.005);
    }

    [Fact]
    public void Lens_DistortAndBack_IsTheSamePoint()
    {
        var camera = new Camera(1632, 1224, 9, new PointPx(0, 0), 0.1, 0.2, 1.1, 0.9, 0.03);
        foreach (var p in new PointPx[] { new(0, 0), new(1631, 1223), new(800, 30), new(12, 700) })
            Assert.InRange(camera.Distort(camera.Undistort(p)).DistanceTo(p), 0, 0.001);
    }

    [Theory]
    [InlineData(1)]
    [InlineData(3)]
    [InlineData(6)]
    [InlineData(8)]
    public void TurnedJpeg_TurnedBackByItsExifTag_IsTheSamePicture(int orientation)
    {
        var photo = Synthesiser.Make(new SceneRequest { Seed = 2, Megapixels = 0.2, JpegQuality = 98 });
        using var upright = Image.Load<Bgr24>(photo.ToJpeg());
        using var turned = Image.Load<Bgr24>(photo.ToTurnedJpeg(orientation));
        turned.Mutate(c => c.AutoOrient());
        Assert.Equal((upright.Width, upright.Height), (turned.Width, turned.Height));
        double sum = 0;
        for (var y = 0; y < upright.Height; y += 3)
        {
            for (var x = 0; x < upright.Width; x += 3)
                sum += Math.Abs(upright[x, y].G - turned[x, y].G);
        }

        Assert.InRange(sum / (upright.Width * upright.Height / 9.0), 0, 1.5);
    }

    [Fact]
    public void Json_OfAnEnd_UsesTheContractsWords()
    {
        using var json = JsonDocument.Parse(Synthesiser.ToJson(Synthesiser.Make(new SceneRequest { Seed = 4, Megapixels = 0.2 }).Truth));
        var root = json.RootElement;
        // design.md section 5.
        Assert.Equal("end", root.GetProperty("view").GetString());
        Assert.Equal(4, root.GetProperty("outline").GetArrayLength());
        foreach (var name in new[] { "count", "perInch", "worstInch", "meanWidthMm", "latewoodShare", "path", "boundaries" })
            Assert.True(root.GetProperty("rings").TryGetProperty(name, out _), name);
        foreach (var name in new[] { "degrees", "least", "greatest", "cut", "pith" })
            Assert.True(root.GetProperty("ringAngle").TryGetProperty(name, out _), name);
    }

    [Fact]
    public void Command_LockedSeeds_RefusedUnlessSaid()
    {
        using var errors = new StringWriter();
        using var output = new StringWriter();
        var folder = Directory.CreateTempSubdirectory("synth").FullName;
        try
        {
            string[] args = ["--seeds", "900000", "--out", folder, "--megapixels", "0.2"];
            Assert.Equal(2, SynthesisCommand.Run(args, output, errors, Stopwatch.StartNew()));
            Assert.Contains("--locked", errors.ToString(), StringComparison.Ordinal);
            Assert.Empty(Directory.GetFiles(folder));
            Assert.Equal(0, SynthesisCommand.Run(["--seeds", "7-8", "--out", folder, "--megapixels", "0.2"], output, errors, Stopwatch.StartNew()));
            Assert.Equal(["seed-0007.jpg", "seed-0007.json", "seed-0008.jpg", "seed-0008.json"], Directory.GetFiles(folder).Select(Path.GetFileName).Order());
        }
        finally
        {
            Directory.Delete(folder, true);
        }
    }
}
