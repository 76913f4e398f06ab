using GrainVision.Grading.Findings;

namespace GrainVision.Synthesis;

/// <summary>Makes blemishes and harmless marks of rarer looks than <see cref="FeatureMaker"/> does.</summary>
internal sealed class VarietyMaker(Scene scene, SeededRandom random)
{
    private readonly FeaturePlaces _places = new(scene, random);
    private readonly double _lightRad = scene.Optics.LightFallRad - scene.Camera.RotationRad;

    public List<Feature> Features { get; } = [];

    public List<Knot> Knots { get; } = [];

    public List<Indent> Indents { get; } = [];

    private bool End => scene.View == View.End;

    /// <summary>One to five cracks of one look: a crack seldom comes alone.</summary>
    public void Cracks()
    {
        var count = random.Chance(0.6) ? 1 : 2 + random.Index(4);
        var (x, y) = CrackPlace();
        // A check that lies in the face itself cannot be seen: there, only a shake can.
        var ring = _places.RingAngleDeg(x, y);
        var shake = End ? random.Chance(0.35) : ring > 55 || (ring > 30 && random.Chance(0.5));
        double opening = random.LogUniform(0.18, random.Chance(0.2) ? 3.5 : 1.2), stray = random.LogUniform(0.05, 0.9);
        double strayLength = random.LogUniform(1.5, 12), step = random.Chance(0.3) ? random.LogUniform(3, 20) : 0, closed = random.Chance(0.4) ? random.Uniform(0.1, 0.5) : 0;
        double darkness = random.Chance(0.7) ? random.Uniform(0.8, 0.97) : random.Uniform(0.55, 0.8), brown = random.Next(), lip = random.Chance(0.35) ? random.Uniform(0.08, 0.45) : 0;
        // A pale shake beside latewood is a ring line to any eye.
        darkness = shake ? Math.Max(darkness, 0.75) : darkness;
        for (var i = 0; i < count; i++)
        {
            if (i > 0)
                (x, y) = random.Chance(0.5) ? (x + random.Normal(0, 18), y + random.Normal(0, 8)) : CrackPlace();
            var (theta, u, z) = _places.InLog(x, y);
            var length = random.LogUniform(8, End ? 60 : 160);
            var reach = End && shake ? random.LogUniform(6, 45) : random.LogUniform(3, 28);
            // A heart check starts at the pith.
            if (End && !shake && random.Chance(0.15))
                u = reach * 0.95;
            var across = End ? reach : length;
            Features.Add(new VariedCrack
            {
                Kind = shake ? BlemishKind.ShakeOrSplit : BlemishKind.Check,
                CentreX = x, CentreY = y, ReachX = across + (2 * stray) + 6, ReachY = (End ? reach : Math.Max(length * 0.35, 12)) + (2 * stray) + 6,
                ThetaRad = theta, U = u, Z = z, HalfLengthMm = length, HalfReachMm = reach,
                OpeningMm = opening * random.Uniform(0.5, 1.2), Shake = shake, StrayMm = stray, StrayLengthMm = strayLength, StepMm = step,
                Closed = closed, Darkness = darkness, Brown = brown, Lip = lip, Salt = Salt(), Contrast = darkness,
            });
        }
    }

    /// <summary>Anywhere, at an edge of the board, or at an end of it that the photo shows.</summary>
    private (double X, double Y) CrackPlace()
    {
        var (x, y) = _places.Free(8);
        var roll = random.Next();
        var (left, right) = SurfaceOutline.ShownMm(scene);
        if (roll < 0.25)
            y = random.Sign() * scene.Size2Mm / 2 * random.Uniform(0.93, 1);
        else if (roll < 0.45)
            x = random.Chance(0.5) ? left : right;
        return (x, y);
    }

    public void Hole()
    {
        var count = random.Chance(0.6) ? 1 : 2 + random.Index(8);
        var radius = random.LogUniform(0.4, random.Chance(0.25) ? 4.5 : 1.6);
        var (x, y) = _places.Free(radius * 2);
        for (var i = 0; i < count; i++)
        {
            var r = radius * random.Uniform(0.8, 1.2);
            var aspect = random.Chance(0.4) ? random.Uniform(1.1, 2.4) : 1;
            if (random.Chance(0.2))
                Stain(x, y, r * random.Uniform(1.8, 5), r * random.Uniform(1.3, 2.5), (0.45f, 0.42f, 0.40f), random.Uniform(0.4, 0.9));
            Features.Add(new BoreHole
            {
                Kind = BlemishKind.BoreHole, CentreX = x, CentreY = y, ReachX = (r * aspect) + 1, ReachY = (r * aspect) + 1,
                RadiusMm = r, Aspect = aspect, AngleRad = random.Chance(0.5) ? 0 : random.Uniform(0, Math.PI), LightRad = _lightRad, Contrast = 0.9,
            });
            (x, y) = (x + random.Normal(0, 14), y + random.Normal(0, 8));
        }
    }

    public void Pocket()
    {
        var (x, y) = _places.Free(8);
        var (theta, u, z) = _places.InLog(x, y);
        double length = random.LogUniform(2, 28), width = random.LogUniform(1.5, 12);
        var tint = random.Pick((0.16f, 0.24f, 0.36f), (0.30f, 0.50f, 0.72f), (0.45f, 0.68f, 0.85f), (0.62f, 0.95f, 1.12f), (0.10f, 0.10f, 0.13f));
        Features.Add(new ResinPatch
        {
            Kind = BlemishKind.PitchPocket, CentreX = x, CentreY = y, ReachX = (End ? width : length) + 4, ReachY = (End ? width : length) + 4,
            ThetaRad = theta, U = u, Z = z, HalfLengthMm = length, HalfWidthMm = width, HalfThickMm = random.LogUniform(0.35, 2.6), Tint = tint,
            Streaks = random.Chance(0.5) ? random.Uniform(0.3, 1) : 0, SoakMm = random.Uniform(0.3, 1.6), Soak = random.Uniform(0.05, 0.4), Salt = Salt(), Contrast = 0.6,
        });
    }

    public void Dent()
    {
        var scratch = random.Chance(0.35);
        double length = scratch ? random.LogUniform(8, 45) : random.LogUniform(1.5, 14), width = scratch ? random.LogUniform(0.2, 0.7) : length * random.Uniform(0.2, 1);
        var (x, y) = _places.Free(Math.Min(length, 10));
        Features.Add(new Dent
        {
            Kind = BlemishKind.DentOrGouge, CentreX = x, CentreY = y, ReachX = length * 1.5, ReachY = length * 1.5, HalfLengthMm = length, HalfWidthMm = width,
            AngleRad = random.Uniform(0, Math.PI), LightRad = _lightRad, Depth = random.Uniform(0.45, 1.2), Torn = !scratch && random.Chance(0.5), Contrast = 0.4,
        });
    }

    public void Stain()
    {
        double length = random.LogUniform(5, 70), width = Math.Min(length * random.Uniform(0.12, 0.9), scene.Size2Mm * 0.45);
        var (x, y) = _places.Free(Math.Min(width, 10));
        var tint = random.Pick((0.72f, 0.66f, 0.58f), (0.42f, 0.58f, 0.72f), (0.45f, 0.44f, 0.42f), (0.60f, 0.55f, 0.62f), (0.35f, 0.48f, 0.62f), (0.55f, 0.72f, 0.60f));
        Stain(x, y, length, width, tint, random.Uniform(0.4, 1));
    }

    private void Stain(double x, double y, double length, double width, (float B, float G, float R) tint, double strength) => Features.Add(new Stain
    {
        Kind = BlemishKind.Stain, CentreX = x, CentreY = y, ReachX = length * 1.8, ReachY = width * 1.8, HalfLengthMm = length, HalfWidthMm = width,
        Strength = strength, Tint = tint, Contrast = strength * 0.4,
    });

    public void Branch()
    {
        var radius = Math.Min(random.LogUniform(0.7, 14), 0.35 * scene.Size2Mm);
        var (x, y) = _places.Free(radius * 1.5);
        if (random.Chance(0.2))
            y = random.Sign() * scene.Size2Mm / 2 * random.Uniform(0.9, 1.02);
        var (theta, u, z) = _places.InLog(x, y);
        var rise = random.Uniform(0.05, 0.8);
        var from = radius < 2 ? Math.Max(0, u - random.Uniform(6, 30)) : random.Chance(0.7) ? 0 : Math.Max(0, u - random.Uniform(15, 60));
        var knot = new Knot
        {
            ThetaRad = theta, Z = z - (rise * u), Rise = rise, FromMm = from, ToMm = u + (radius * 1.2) + (random.Chance(0.5) ? random.Uniform(8, 40) : 1e9),
            RadiusPerMm = Math.Max(0.005, (radius - 0.25) / Math.Max(2, u - from)), GreatestRadiusMm = radius * random.Uniform(1, 1.3), Loose = random.Chance(0.3), Bulge = random.Uniform(0.05, 0.5),
        };
        Knots.Add(knot);
        Features.Add(new KnotFeature(knot, random)
        {
            Kind = knot.Loose ? BlemishKind.LooseKnot : BlemishKind.Knot, CentreX = x, CentreY = y, ReachX = 80 + (8 * radius), ReachY = 80 + (8 * radius),
            Contrast = 0.5, Cracked = radius > 2 && random.Chance(0.5), Pale = random.Chance(0.4) ? (float)random.Uniform(0.2, 0.75) : 0,
        });
    }

    public void SawSteps()
    {
        var count = random.Chance(0.7) ? 1 : 2 + random.Index(3);
        for (var i = 0; i < count; i++)
        {
            var (x, y) = _places.Anywhere();
            var whole = random.Chance(0.55);
            var half = whole ? 2000 : random.LogUniform(10, 120);
            var across = End ? random.Chance(0.5) : random.Chance(0.15);
            var angle = (across ? Math.PI / 2 : 0) + random.Normal(0, 0.02);
            Features.Add(new SawStep
            {
                Harmless = "saw-step", CentreX = x, CentreY = y, ReachX = across ? 60 : half + 3, ReachY = across ? half + 3 : 60,
                AngleRad = angle, HalfLengthMm = half, WidthMm = random.LogUniform(0.12, 0.8), Line = random.Chance(0.6) ? random.Uniform(0.5, 0.92) : random.Uniform(1.1, 1.5),
                Sides = random.Chance(0.6) ? random.Normal(0, 0.10) : 0, FadeMm = random.LogUniform(3, 60), Salt = Salt(), Contrast = 0.3,
            });
        }
    }

    public void Rough()
    {
        var count = 1 + random.Index(3);
        for (var i = 0; i < count; i++)
        {
            var (x, y) = _places.Anywhere();
            var roll = random.Next();
            var (torn, hairs) = (roll < 0.45, roll is >= 0.45 and < 0.7);
            double length = hairs ? 500 : random.LogUniform(6, 90), width = hairs ? 300 : random.LogUniform(4, 50);
            Features.Add(new RoughPatch
            {
                Harmless = torn ? "torn-fibres" : hairs ? "saw-fuzz" : "planer-chatter", CentreX = x, CentreY = y, ReachX = length * 1.4, ReachY = width * 1.4,
                HalfLengthMm = length, HalfWidthMm = width, Strength = random.LogUniform(0.06, torn || hairs ? 0.5 : 0.16),
                WaveMm = torn || hairs ? 0 : random.LogUniform(1.5, 9), Torn = torn, Hairs = hairs, Salt = Salt(), Contrast = 0.2,
            });
        }
    }

    public void Dirt()
    {
        var count = 1 + random.Index(3);
        for (var i = 0; i < count; i++)
        {
            var (x, y) = _places.Anywhere();
            var specks = random.Chance(0.4);
            double length = random.LogUniform(specks ? 15 : 3, 90), width = length * random.Uniform(0.15, 1);
            Features.Add(new DirtMark
            {
                Harmless = "dirt", CentreX = x, CentreY = y, ReachX = length + 1, ReachY = length + 1, HalfLengthMm = length, HalfWidthMm = width, AngleRad = random.Uniform(0, Math.PI),
                Strength = specks ? random.Uniform(0.4, 0.95) : random.LogUniform(0.12, 0.85),
                Tint = random.Pick((0.25f, 0.28f, 0.30f), (0.12f, 0.20f, 0.30f), (0.08f, 0.08f, 0.08f), (0.35f, 0.36f, 0.36f), (0.30f, 0.42f, 0.55f)),
                SpeckMm = specks ? random.LogUniform(0.15, 0.7) : 0, Salt = Salt(), Contrast = 0.3,
            });
        }
    }

    public void Ink()
    {
        var length = Math.Min(random.LogUniform(8, 160), scene.Size1Mm * 0.9);
        var (x, y) = _places.Free(Math.Min(length * 0.3, 10));
        var angle = random.Chance(0.5) ? random.Normal(0, 0.06) : random.Uniform(-Math.PI, Math.PI);
        var height = Math.Min(random.Uniform(4, 16), scene.Size2Mm * 0.35);
        var roll = random.Next();
        Features.Add(roll < 0.4 ? InkMark.Line(random, x, y, length, angle)
            : roll < 0.65 ? InkMark.Scrawl(random, x, y, Math.Min(length, 70), angle)
            : roll < 0.85 ? InkMark.Stamp(random, x, y, height, angle)
            : InkMark.Pencil(random, x, y, Math.Min(length, 60), angle));
    }

    public void RedStreak()
    {
        var (x, y) = _places.Free(4);
        var (theta, u, _) = _places.InLog(x, y);
        Features.Add(new RedStreak
        {
            Harmless = "red-streak", CentreX = x, CentreY = y, ReachX = End ? 60 : 1e4, ReachY = 60, ThetaRad = theta, U = u,
            HalfReachMm = random.Uniform(6, 50), HalfWidthMm = random.Uniform(0.4, 3.5), Strength = random.Uniform(0.35, 1), Contrast = 0.2,
        });
    }

    public void IndentedRings()
    {
        for (var i = 1 + random.Index(6); i > 0; i--)
        {
            var (x, y) = _places.Anywhere();
            var (theta, u, _) = _places.InLog(x, y);
            Indents.Add(new Indent(theta, random.Uniform(0.2, 0.9), random.Uniform(0.6, 1.8), u - random.Uniform(5, 40), u + random.Uniform(5, 60)));
        }
    }

    private float Salt() => (float)random.Uniform(0, 60);
}
