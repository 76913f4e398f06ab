using GrainVision.Grading.Findings;
using SixLabors.ImageSharp;
using SixLabors.ImageSharp.PixelFormats;

namespace GrainVision.Synthesis.Tests;

public class MaskTests
{
    private static readonly SceneRequest Bare = new()
    {
        Seed = 5,
        View = View.End,
        Difficulty = Difficulty.Easy,
        Megapixels = 0.6,
        Species = "sitka-spruce",
        Plain = true,
        Scale = ScaleProp.None,
        WidthMm = 60,
        ThicknessMm = 40,
    };

    [Fact]
    public void Mask_BoredHole_CoversTheCircleThatIsPainted()
    {
        var (photo, mask) = Synthesiser.RenderWithMask(SceneBuilder.Build(Bare with { Blemishes = [BlemishKind.BoreHole] }));
        var hole = Assert.Single(photo.Truth.Blemishes, b => b.Kind == BlemishKind.BoreHole);
        // Area of an ellipse, pi/4 times its axes (Euclid's geometry); the axes as the truth tells them.
        var perMm = photo.Truth.Scale.PixelsPerMm;
        var longMm = Math.Sqrt((hole.LengthMm * hole.LengthMm) + (hole.WidthMm * hole.WidthMm) - (hole.DiameterMm * hole.DiameterMm));
        var expected = Math.PI / 4 * longMm * hole.DiameterMm * perMm * perMm;
        Assert.InRange(Pixels(mask, 3), expected * 0.85, expected * 1.2);
    }

    [Fact]
    public void Mask_ClearWood_CoversTheOutlineAndNothingElse()
    {
        var (photo, mask) = Synthesiser.RenderWithMask(SceneBuilder.Build(Bare with { Blemishes = [] }));
        var expected = 60 * 40 * photo.Truth.Scale.PixelsPerMm * photo.Truth.Scale.PixelsPerMm;
        Assert.InRange(Pixels(mask, 14), expected * 0.97, expected * 1.03);
        for (var k = 0; k < 14; k++)
            Assert.Equal(0, Pixels(mask, k));
    }

    [Fact]
    public void Photo_WithMaskAsked_IsTheSamePhoto()
    {
        var request = new SceneRequest { Seed = 12, View = View.Face, Difficulty = Difficulty.Medium, Megapixels = 0.4, Scale = ScaleProp.None };
        Assert.Equal(Synthesiser.Make(request).Bgr, Synthesiser.RenderWithMask(SceneBuilder.Build(request)).Photo.Bgr);
    }

    [Fact]
    public void File_ReadByAnotherDecoder_HoldsEveryPixelsClasses()
    {
        var folder = Directory.CreateTempSubdirectory("masks").FullName;
        try
        {
            string[] args = ["--seeds", "14", "--megapixels", "0.3", "--scale", "none", "--masks", "--variety", "--out", folder];
            Assert.Equal(0, SynthesisCommand.Run(args, TextWriter.Null, TextWriter.Null, System.Diagnostics.Stopwatch.StartNew()));
            var (_, mask) = Synthesiser.RenderWithMask(SceneBuilder.Build(SynthesisCommand.Request(14, new Dictionary<string, string> { ["megapixels"] = "0.3", ["scale"] = "none", ["variety"] = "" })));
            // ImageSharp decodes the palette; as many colours as combinations of classes (ISO/IEC 15948, PLTE).
            using var picture = Image.Load<Rgb24>(Path.Combine(folder, "seed-0014-mask.png"));
            Assert.Equal((mask.Width, mask.Height), (picture.Width, picture.Height));
            var colours = new Dictionary<int, Rgb24>();
            for (var y = 0; y < mask.Height; y++)
            {
                for (var x = 0; x < mask.Width; x++)
                {
                    if (colours.TryGetValue(mask.At(x, y), out var seen))
                        Assert.Equal(seen, picture[x, y]);
                    else
                        colours[mask.At(x, y)] = picture[x, y];
                }
            }
        }
        finally
        {
            Directory.Delete(folder, true);
        }
    }

    private static int Pixels(ClassMask mask, int k)
    {
        var count = 0;
        for (var y = 0; y < mask.Height; y++)
        {
            for (var x = 0; x < mask.Width; x++)
                count += (mask.At(x, y) >> k) & 1;
        }

        return count;
    }
}
