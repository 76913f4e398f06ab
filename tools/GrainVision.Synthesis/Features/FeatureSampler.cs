using GrainVision.Grading.Findings;

namespace GrainVision.Synthesis;

/// <summary>Strews blemishes and harmless marks over a scene.</summary>
internal static class FeatureSampler
{
    public static Scene Add(Scene scene, SceneRequest request, SeededRandom random)
    {
        var maker = new FeatureMaker(scene, random.Fork("features"));
        foreach (var kind in request.Blemishes ?? (request.Plain ? [] : Kinds(scene, random.Fork("kinds"))))
            maker.Blemish(kind);
        if (!request.Plain)
            Harmless(scene, maker, random.Fork("harmless"));
        if (scene.View == View.End && PithShows(scene))
            maker.Pith();
        return scene with { Log = scene.Log.With(maker.Knots, maker.Indents), Features = maker.Features };
    }

    private static List<BlemishKind> Kinds(Scene scene, SeededRandom random)
    {
        var kinds = new List<BlemishKind>();
        if (random.Chance(scene.View == View.End ? 0.62 : 0.42))
            return kinds;
        var count = 1 + (random.Chance(0.35) ? 1 : 0) + (random.Chance(0.15) ? 1 : 0);
        for (var i = 0; i < count; i++)
            kinds.Add(scene.View == View.End ? OnEnd(random.Next(), scene) : OnFace(random.Next(), scene));
        return kinds;
    }

    private static BlemishKind OnEnd(double roll, Scene scene) =>
        roll < 0.40 ? BlemishKind.Check
        : roll < 0.48 ? BlemishKind.ShakeOrSplit
        : roll < 0.62 && scene.Look.Species.ResinDucts ? BlemishKind.PitchPocket
        : roll < 0.74 ? BlemishKind.BoreHole
        : roll < 0.86 ? BlemishKind.Stain
        : roll < 0.92 ? BlemishKind.DentOrGouge
        : BlemishKind.Knot;

    private static BlemishKind OnFace(double roll, Scene scene) =>
        roll < 0.34 ? BlemishKind.Knot
        : roll < 0.44 ? BlemishKind.LooseKnot
        : roll < 0.52 ? BlemishKind.PinKnotCluster
        : roll < 0.62 && scene.Look.Species.ResinDucts ? BlemishKind.PitchPocket
        : roll < 0.71 ? BlemishKind.Check
        : roll < 0.75 ? BlemishKind.ShakeOrSplit
        : roll < 0.84 ? BlemishKind.BoreHole
        : roll < 0.93 ? BlemishKind.DentOrGouge
        : BlemishKind.Stain;

    private static void Harmless(Scene scene, FeatureMaker maker, SeededRandom random)
    {
        var spruce = scene.Species.EndsWith("spruce", StringComparison.Ordinal);
        if (scene.Species == "sitka-spruce" && random.Chance(0.30))
            maker.IndentedRings(2 + random.Index(5));
        if (spruce && random.Chance(0.15))
            maker.Streak();
        if (random.Chance(0.14))
            maker.Stamp();
        if (random.Chance(0.16))
            maker.Pencil();
    }

    private static bool PithShows(Scene scene)
    {
        var (x, y) = EndGroundTruth.Pith(scene);
        return Math.Abs(x) < scene.Size1Mm / 2 && Math.Abs(y) < scene.Size2Mm / 2;
    }
}
