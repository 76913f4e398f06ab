using GrainVision.Grading.Findings;

namespace GrainVision.Synthesis;

/// <summary>Light, lens, sensor, bench and surface by difficulty.</summary>
internal static class OpticsSampler
{
    public static Optics Optics(SceneRequest request, SeededRandom random)
    {
        var d = request.Difficulty;
        var blur = d switch { Difficulty.Easy => random.Uniform(0.5, 0.8), Difficulty.Medium => random.Uniform(0.6, 1.1), _ => random.Uniform(0.7, 1.5) };
        var noise = d switch { Difficulty.Easy => random.Uniform(0.8, 2), Difficulty.Medium => random.Uniform(1.5, 4), _ => random.Uniform(3, 8) };
        var quality = d switch { Difficulty.Easy => 95, Difficulty.Medium => 86 + random.Index(10), _ => 70 + random.Index(24) };
        var spoilt = request.Plain ? 0.0 : d switch { Difficulty.Easy => 0.4, Difficulty.Medium => 1.0, _ => 1.6 };
        var glare = random.Chance(d switch { Difficulty.Easy => 0.0, Difficulty.Medium => 0.25, _ => 0.6 }) && !request.Plain ? random.Uniform(0.05, 0.22) * spoilt : 0;
        var motion = d == Difficulty.Hard && random.Chance(0.4) && !request.Plain ? random.Uniform(0.8, 2.6) : 0;
        return new Optics
        {
            BlurSigmaPx = request.BlurSigmaPx ?? blur,
            MotionPx = request.BlurSigmaPx is null ? motion : 0,
            MotionRad = random.Uniform(0, Math.PI),
            NoiseLevels = request.NoiseLevels ?? noise,
            Vignette = spoilt * random.Uniform(0.02, 0.16),
            LightFall = spoilt * random.Uniform(0, 0.22),
            LightFallRad = random.Uniform(0, 2 * Math.PI),
            Glare = glare,
            GlareAt = (random.Uniform(0.15, 0.85), random.Uniform(0.2, 0.8)),
            GlareSize = random.Uniform(0.06, 0.20),
            Exposure = request.Plain ? 1 : Math.Exp(random.Normal(0, 0.14 * spoilt)) * 0.97,
            Warmth = request.Plain ? 1 : Math.Exp(random.Normal(0.02, 0.05)),
            Sharpening = request.Plain ? 0 : random.Uniform(0, d == Difficulty.Hard ? 1.0 : 0.6),
            JpegQuality = request.JpegQuality ?? quality,
        };
    }

    public static Bench Bench(SceneRequest request, SeededRandom random)
    {
        if (request.Plain)
            return Synthesis.Bench.DarkGreen;
        var roll = random.Next();
        return request.Difficulty switch
        {
            Difficulty.Easy => random.Pick(Synthesis.Bench.DarkGreen, Synthesis.Bench.BlueCloth, Synthesis.Bench.Black),
            Difficulty.Medium => roll < 0.3 ? Synthesis.Bench.DarkGreen : roll < 0.55 ? Synthesis.Bench.GreyConcrete : roll < 0.8 ? Synthesis.Bench.BlueCloth : Synthesis.Bench.DarkWood,
            _ => roll < 0.25 ? Synthesis.Bench.DarkGreen : roll < 0.5 ? Synthesis.Bench.GreyConcrete : roll < 0.65 ? Synthesis.Bench.BlueCloth : roll < 0.88 ? Synthesis.Bench.DarkWood : Synthesis.Bench.LightWood,
        };
    }

    public static SurfaceFinish EndFinish(SceneRequest request, SeededRandom random)
    {
        if (request.Plain)
            return new SurfaceFinish();
        var rough = request.Difficulty switch { Difficulty.Easy => 0.35, Difficulty.Medium => 0.8, _ => 1.4 };
        return new SurfaceFinish
        {
            SawMarks = rough * random.Uniform(0.03, 0.12),
            SawPitchMm = random.Uniform(0.9, 3.2),
            SawAngleRad = random.Chance(0.75) ? (Math.PI / 2) + random.Normal(0, 0.12) : random.Normal(0, 0.15),
            SawArcMm = random.Chance(0.5) ? random.Uniform(120, 300) : 0,
            Fuzz = rough * random.Uniform(0.03, 0.09),
            Dirt = random.Chance(0.4) ? rough * random.Uniform(0.05, 0.25) : 0,
            ArrisRoughnessMm = rough * random.Uniform(0.02, 0.25),
        };
    }

    public static SurfaceFinish FaceFinish(SceneRequest request, SeededRandom random)
    {
        if (request.Plain)
            return new SurfaceFinish();
        var rough = request.Difficulty switch { Difficulty.Easy => 0.4, Difficulty.Medium => 0.9, _ => 1.4 };
        var sawn = random.Chance(request.Difficulty == Difficulty.Easy ? 0.1 : 0.4);
        return new SurfaceFinish
        {
            SawMarks = sawn ? rough * random.Uniform(0.03, 0.09) : 0,
            SawPitchMm = random.Uniform(1.2, 4),
            SawAngleRad = (Math.PI / 2) + random.Normal(0, 0.10),
            SawArcMm = random.Chance(0.4) ? random.Uniform(150, 350) : 0,
            PlanerWaves = sawn ? 0 : rough * random.Uniform(0.002, 0.018),
            PlanerPitchMm = random.Uniform(1.2, 4),
            Fuzz = rough * (sawn ? random.Uniform(0.02, 0.05) : random.Uniform(0, 0.02)),
            Dirt = random.Chance(0.3) ? rough * random.Uniform(0.05, 0.2) : 0,
            ArrisRoughnessMm = rough * random.Uniform(0.02, sawn ? 0.25 : 0.08),
        };
    }
}
