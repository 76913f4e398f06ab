using GrainVision.Grading.Findings;

namespace GrainVision.Synthesis;

/// <summary>What --variety adds to a seed's scene. Every draw comes from a stream of its own, so that the seed's own photo is not moved.</summary>
internal static class VarietySampler
{
    /// <summary>The species' look, moved: no two trees have one colour, and latewood is weak in some.</summary>
    public static SpeciesLook Species(SpeciesLook look, SeededRandom random)
    {
        if (random.Chance(0.12))
            look = SpeciesLook.Of("white-ash");
        double grey = random.Chance(0.15) ? random.Uniform(0.2, 0.7) : 0, contrast = random.Uniform(0.4, 1.35);
        (double R, double G, double B) cast = (random.Normal(1, 0.04), random.Normal(1, 0.03), random.Normal(1, 0.07));
        return look with
        {
            Early = Moved(look.Early, look.Early, 0),
            Late = Moved(look.Early, look.Late, contrast),
            LatewoodShare = Math.Clamp(look.LatewoodShare * random.Uniform(0.6, 1.5), 0.1, 0.75),
            Gradual = Math.Clamp(look.Gradual * random.LogUniform(0.5, 2.2), 0.03, 0.4),
            RingContrast = look.RingContrast * random.Uniform(0.7, 1.8),
            SapwoodChance = Math.Max(look.SapwoodChance, 0.3),
        };

        Srgb Moved(Srgb from, Srgb to, double share)
        {
            double r = from.R + (share * (to.R - from.R)), g = from.G + (share * (to.G - from.G)), b = from.B + (share * (to.B - from.B)), mean = (r + g + b) / 3;
            return new Srgb(Part(r, cast.R), Part(g, cast.G), Part(b, cast.B));
            double Part(double v, double by) => Math.Clamp(((v * (1 - grey)) + (mean * grey)) * by, 20, 250);
        }
    }

    /// <summary>Where the piece was cut: now and then a face along the pith.</summary>
    public static SceneRequest Place(SceneRequest request, SeededRandom random, Piece piece) =>
        request.View == View.Face && random.Chance(0.10)
            ? request with { PithDistanceMm = (piece.DepthMm / 2) + random.Normal(0, 1), RingAngleDeg = Math.Clamp((piece.Narrow ? 90 : 0) + random.Normal(0, 4), 0, 90) }
            : request;

    /// <summary>Light, surface and marks.</summary>
    public static Scene Add(Scene scene, SeededRandom random)
    {
        scene = scene with { Look = Look(scene.Look, random.Fork("look")), Optics = Optics(scene.Optics, random.Fork("optics")), Bench = random.Fork("bench").Chance(0.2) ? Bench.Black : scene.Bench };
        var finish = random.Fork("finish");
        if (scene.View == View.Face && finish.Chance(0.3))
            scene = scene with { FaceFinish = scene.FaceFinish with { SawMarks = finish.Uniform(0.03, 0.16), SawPitchMm = finish.LogUniform(0.6, 5), SawAngleRad = (Math.PI / 2) + finish.Normal(0, 0.25), Fuzz = finish.Uniform(0.02, 0.10) } };
        var maker = new VarietyMaker(scene, random.Fork("features"));
        Strew(scene, maker, random.Fork("what"));
        return scene with { Log = scene.Log.With([.. scene.Log.Knots, .. maker.Knots], [.. scene.Log.Indents, .. maker.Indents]), Features = [.. scene.Features, .. maker.Features] };
    }

    private static void Strew(Scene scene, VarietyMaker maker, SeededRandom random)
    {
        // What lies on the wood is painted over what is in it.
        if (random.Chance(0.12))
            maker.IndentedRings();
        if (random.Chance(0.10))
            maker.RedStreak();
        if (random.Chance(0.18))
            maker.Stain();
        if (random.Chance(0.50))
        {
            for (var i = random.Chance(0.5) ? 1 : 2; i > 0; i--)
            {
                var roll = random.Next();
                if (roll < (scene.View == View.End ? 0.08 : 0.3))
                    maker.Branch();
                else if (roll < 0.62)
                    maker.Cracks();
                else if (roll < 0.74)
                    maker.Pocket();
                else if (roll < 0.86)
                    maker.Hole();
                else
                    maker.Dent();
            }
        }

        if (random.Chance(0.35))
            maker.SawSteps();
        if (random.Chance(scene.View == View.End ? 0.15 : 0.4))
            maker.Rough();
        if (random.Chance(0.3))
            maker.Dirt();
        if (random.Chance(0.3))
            maker.Ink();
        if (random.Chance(0.1))
            maker.Ink();
    }

    private static WoodLook Look(WoodLook look, SeededRandom random) => look with
    {
        FibreContrast = look.FibreContrast * random.LogUniform(0.5, 2),
        RayContrast = look.RayContrast * random.LogUniform(0.6, 2),
        CloudContrast = look.CloudContrast * random.Uniform(0.5, 2),
        HeartwoodStrength = look.HeartwoodStrength * random.Uniform(0.7, 1.6),
        Brightness = look.Brightness * random.Uniform(0.85, 1.1),
    };

    private static Optics Optics(Optics optics, SeededRandom random)
    {
        if (random.Chance(0.12))
            optics = optics with { Glare = random.Uniform(0.15, 0.9), GlareSize = random.LogUniform(0.03, 0.22) };
        return optics with
        {
            BlurSigmaPx = optics.BlurSigmaPx * random.Uniform(0.6, 1.15),
            LightFall = optics.LightFall * random.Uniform(0.5, 1.8),
            Warmth = optics.Warmth * Math.Exp(random.Normal(0, 0.08)),
        };
    }
}
