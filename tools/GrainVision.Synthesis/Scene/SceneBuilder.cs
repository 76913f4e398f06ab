using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;

namespace GrainVision.Synthesis;

/// <summary>Turns a request into a whole scene: what is not asked for is drawn from the seed.</summary>
public static class SceneBuilder
{
    public static Scene Build(SceneRequest request)
    {
        ArgumentNullException.ThrowIfNull(request);
        var random = new SeededRandom((ulong)(uint)request.Seed * 0x9E3779B97F4A7C15UL);
        var look = SpeciesLook.Of(request.Species ?? DrawSpecies(random.Fork("species")));
        var variety = random.Fork("variety");
        if (request.Variety)
            look = VarietySampler.Species(look, variety.Fork("species"));
        var frame = FramePx(request, random.Fork("frame"));
        var piece = PieceSampler.Draw(request, random, frame.Width, frame.Height);
        if (request.Variety)
            request = VarietySampler.Place(request, variety.Fork("place"), piece);
        var placed = LogSampler.Place(request, random, look, piece);
        var optics = OpticsSampler.Optics(request, random.Fork("optics"));
        var prop = PropSampler.Draw(request, random.Fork("prop"), piece, frame.Width, frame.Height);
        var camera = PropSampler.Frame(request, random.Fork("camera"), piece, prop, frame.Width, frame.Height);
        var scene = new Scene
        {
            Seed = request.Seed,
            View = request.View,
            Difficulty = request.Difficulty,
            Log = placed.Log,
            Rings = placed.Rings,
            Surface = placed.Surface,
            Size1Mm = piece.Size1Mm,
            Size2Mm = piece.Size2Mm,
            DepthMm = piece.DepthMm,
            Camera = camera,
            Optics = optics,
            Bench = request.Bench ?? OpticsSampler.Bench(request, random.Fork("bench")),
            ScaleProp = prop.Kind,
            Card = prop.Kind == ScaleProp.Card ? request.Card : null,
            Rule = prop.Rule,
            RuleLook = prop.Look,
            Prop = prop.Placement,
            PropLengthMm = prop.LengthMm,
            PropWidthMm = prop.WidthMm,
            EndFinish = OpticsSampler.EndFinish(request, random.Fork("end-finish")),
            FaceFinish = OpticsSampler.FaceFinish(request, random.Fork("face-finish")),
            Look = WoodLooks(request, random.Fork("look"), look, placed),
        };
        scene = FeatureSampler.Add(scene, request, random.Fork("strew"));
        return request.Variety ? VarietySampler.Add(scene, variety) : scene;
    }

    private static string DrawSpecies(SeededRandom random)
    {
        // A spruce shop: half its stock is spruce, one piece in seven ash.
        var roll = random.Next();
        return roll < 0.34 ? "sitka-spruce" : roll < 0.44 ? "red-spruce" : roll < 0.52 ? "white-spruce" : roll < 0.66 ? "douglas-fir"
            : roll < 0.72 ? "noble-fir" : roll < 0.79 ? "western-hemlock" : roll < 0.85 ? "port-orford-cedar" : "white-ash";
    }

    private static (int Width, int Height) FramePx(SceneRequest request, SeededRandom random)
    {
        // 4:3 as phones have it; one in five upright frames holds the piece across all the same.
        if (request.Aspect is { } aspect)
        {
            var high = Math.Sqrt(request.Megapixels * 1e6 / aspect);
            return ((int)Math.Round(high * aspect / 4) * 4, (int)Math.Round(high / 4) * 4);
        }

        var height = Math.Sqrt(request.Megapixels * 1e6 * 3 / 4);
        var w = (int)Math.Round(height * 4 / 3 / 4) * 4;
        var h = (int)Math.Round(height / 4) * 4;
        return request.View == View.End && random.Chance(0.08) && !request.Plain ? (h, w) : (w, h);
    }

    private static WoodLook WoodLooks(SceneRequest request, SeededRandom random, SpeciesLook species, LogSampler.Placed placed)
    {
        var calm = request.Plain ? 0 : 1;
        var sap = calm == 1 && random.Chance(species.SapwoodChance);
        return new WoodLook
        {
            Species = species,
            Brightness = calm == 0 ? 1 : random.Uniform(0.82, 1.06),
            FibreMm = random.Uniform(0.16, 0.24),
            FibreContrast = (request.Plain ? 0.04 : random.Uniform(0.04, 0.08)) * (request.View == View.End ? 1.1 : 1),
            RayContrast = request.Plain ? 0.02 : random.Uniform(0.02, 0.06),
            CloudContrast = calm * random.Uniform(0.02, 0.07),
            SapwoodFromMm = sap ? placed.MiddleRadiusMm + random.Uniform(-40, 40) : 1e9,
            HeartwoodStrength = calm * random.Uniform(0.2, 1),
        };
    }
}
