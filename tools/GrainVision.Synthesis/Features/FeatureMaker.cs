using GrainVision.Grading.Findings;

namespace GrainVision.Synthesis;

/// <summary>Makes one feature after another, each at a place of its own on the photographed surface.</summary>
internal sealed class FeatureMaker
{
    private readonly Scene scene;
    private readonly SeededRandom random;
    private readonly FeaturePlaces places;
    private readonly double lightRad;

    public FeatureMaker(Scene scene, SeededRandom random)
    {
        this.scene = scene;
        this.random = random;
        places = new FeaturePlaces(scene, random);
        lightRad = scene.Optics.LightFallRad - scene.Camera.RotationRad;
    }

    public List<Feature> Features { get; } = [];

    public List<Knot> Knots { get; } = [];

    public List<Indent> Indents { get; } = [];

    public void Blemish(BlemishKind kind)
    {
        switch (kind)
        {
            case BlemishKind.Knot or BlemishKind.SpikeKnot or BlemishKind.LooseKnot:
                Branch(kind == BlemishKind.LooseKnot);
                break;
            case BlemishKind.PinKnotCluster:
                Cluster();
                break;
            case BlemishKind.PitchPocket:
                Pocket();
                break;
            case BlemishKind.Check or BlemishKind.ShakeOrSplit:
                Crack(kind == BlemishKind.ShakeOrSplit);
                break;
            case BlemishKind.BoreHole:
                Hole();
                break;
            case BlemishKind.DentOrGouge:
                Bruise();
                break;
            case BlemishKind.Stain:
                Discolour();
                break;
            case BlemishKind.Pith:
                Pith();
                break;
            default:
                throw new ArgumentException($"Not a blemish that can be asked for: {kind}.", nameof(kind));
        }
    }

    private void Branch(bool loose)
    {
        var radius = Math.Min(random.LogUniform(1.3, 11), 0.3 * scene.Size2Mm);
        var (x, y) = places.Free(radius * 2);
        var knot = KnotAt(x, y, radius, loose, random.Chance(0.5) ? random.Uniform(8, 40) : 1e9);
        Knots.Add(knot);
        Features.Add(new KnotFeature(knot, random)
        {
            Kind = loose ? BlemishKind.LooseKnot : BlemishKind.Knot,
            CentreX = x,
            CentreY = y,
            ReachX = 80 + (8 * radius),
            ReachY = 80 + (8 * radius),
            Contrast = 0.5,
            Cracked = radius > 3 && random.Chance(0.5),
        });
    }

    private Knot KnotAt(double x, double y, double radius, bool loose, double beyond)
    {
        var p = scene.Surface.At(x, y);
        var (qx, qy) = scene.Log.ClearFibreAt(p);
        var u = Math.Sqrt((qx * qx) + (qy * qy));
        var rise = random.Uniform(0.08, 0.6);
        // Most branches start at the pith; pin knots and some others from a bud that broke later.
        var from = radius < 2 ? Math.Max(0, u - random.Uniform(6, 30)) : random.Chance(0.75) ? 0 : Math.Max(0, u - random.Uniform(15, 60));
        return new Knot
        {
            ThetaRad = Math.Atan2(qy, qx),
            Z = p.Z - (rise * u),
            Rise = rise,
            FromMm = from,
            ToMm = u + (radius * 1.2) + beyond,
            RadiusPerMm = Math.Max(0.005, (radius - 0.25) / Math.Max(2, u - from)),
            GreatestRadiusMm = radius * random.Uniform(1.0, 1.3),
            Loose = loose,
            Bulge = random.Uniform(0.15, 0.45),
        };
    }

    private void Cluster()
    {
        var (x, y) = places.Free(8);
        var members = new List<KnotFeature>();
        var count = 3 + random.Index(5);
        for (var i = 0; i < count; i++)
        {
            var px = x + random.Normal(0, 5);
            var py = Math.Clamp(y + random.Normal(0, 3.5), (-scene.Size2Mm / 2) + 1.5, (scene.Size2Mm / 2) - 1.5);
            var knot = KnotAt(px, py, random.Uniform(0.6, 1.5), false, random.Uniform(2, 10));
            Knots.Add(knot);
            members.Add(new KnotFeature(knot, random) { CentreX = px, CentreY = py, ReachX = 25, ReachY = 25 });
        }

        Features.Add(new PinKnots { Members = members, Kind = BlemishKind.PinKnotCluster, CentreX = x, CentreY = y, ReachX = 45, ReachY = 45, Contrast = 0.4 });
    }

    private void Pocket()
    {
        var (x, y) = places.Free(8);
        var (theta, u, z) = places.InLog(x, y);
        double length = random.LogUniform(5, 32), width = random.LogUniform(2.5, 10);
        Features.Add(new PitchPocket
        {
            Kind = BlemishKind.PitchPocket,
            CentreX = x,
            CentreY = y,
            ReachX = (scene.View == View.End ? width : length) + 4,
            ReachY = (scene.View == View.End ? width : length) + 4,
            ThetaRad = theta,
            U = u,
            Z = z,
            HalfLengthMm = length,
            HalfWidthMm = width,
            HalfThickMm = random.LogUniform(0.45, 1.8),
            Contrast = 0.6,
        });
    }

    private void Crack(bool shake)
    {
        var end = scene.View == View.End;
        var (x, y) = places.Free(10);
        var (theta, u, z) = places.InLog(x, y);
        // A check that lies in the face itself cannot be seen as a crack: there, only a shake can.
        if (!end)
            shake = places.RingAngleDeg(x, y) > 55 || (shake && places.RingAngleDeg(x, y) > 30);
        var length = random.LogUniform(15, end ? 60 : 110);
        var reach = random.LogUniform(4, 22);
        Features.Add(new Crack
        {
            Kind = shake ? BlemishKind.ShakeOrSplit : BlemishKind.Check,
            CentreX = x,
            CentreY = y,
            ReachX = (end ? reach : length) + 3,
            ReachY = (end ? reach : length) + 3,
            ThetaRad = theta,
            U = u,
            Z = z,
            HalfLengthMm = length,
            HalfReachMm = reach,
            OpeningMm = random.LogUniform(0.18, 0.9),
            Shake = shake,
            Contrast = 0.8,
        });
    }

    private void Hole()
    {
        var radius = random.LogUniform(0.5, 1.9);
        var (x, y) = places.Free(radius * 2);
        var aspect = random.Chance(0.3) ? random.Uniform(1.1, 1.7) : 1;
        Features.Add(new BoreHole
        {
            Kind = BlemishKind.BoreHole,
            CentreX = x,
            CentreY = y,
            ReachX = (radius * aspect) + 1,
            ReachY = (radius * aspect) + 1,
            RadiusMm = radius,
            Aspect = aspect,
            AngleRad = random.Uniform(0, Math.PI),
            LightRad = lightRad,
            Contrast = 0.9,
        });
    }

    private void Bruise()
    {
        double length = random.LogUniform(2, 11), width = length * random.Uniform(0.25, 1);
        var (x, y) = places.Free(length);
        Features.Add(new Dent
        {
            Kind = BlemishKind.DentOrGouge,
            CentreX = x,
            CentreY = y,
            ReachX = length * 1.5,
            ReachY = length * 1.5,
            HalfLengthMm = length,
            HalfWidthMm = width,
            AngleRad = random.Uniform(0, Math.PI),
            LightRad = lightRad,
            Depth = random.Uniform(0.35, 0.9),
            Torn = random.Chance(0.4),
            Contrast = 0.3,
        });
    }

    private void Discolour()
    {
        double length = random.LogUniform(6, 40), width = length * random.Uniform(0.2, 0.8);
        width = Math.Min(width, scene.Size2Mm * 0.35);
        var (x, y) = places.Free(width);
        var strength = random.Uniform(0.35, 0.9);
        Features.Add(new Stain
        {
            Kind = BlemishKind.Stain,
            CentreX = x,
            CentreY = y,
            ReachX = length * 1.8,
            ReachY = width * 1.8,
            HalfLengthMm = length,
            HalfWidthMm = width,
            Strength = strength,
            Tint = random.Chance(0.6) ? (0.72f, 0.66f, 0.58f) : (0.42f, 0.58f, 0.72f),
            Contrast = strength * 0.4,
        });
    }

    public void Pith()
    {
        var (x, y) = EndTeller.Pith(scene);
        Features.Add(new PithSpot { Kind = BlemishKind.Pith, CentreX = x, CentreY = y, ReachX = 3, ReachY = 3, Contrast = 0.6 });
    }

    public void IndentedRings(int count)
    {
        for (var i = 0; i < count; i++)
        {
            var (x, y) = places.Anywhere();
            var (theta, u, _) = places.InLog(x, y);
            Indents.Add(new Indent(theta, random.Uniform(0.25, 0.7), random.Uniform(0.7, 1.4), u - random.Uniform(5, 40), u + random.Uniform(5, 60)));
        }
    }

    public void Streak()
    {
        var (x, y) = places.Free(4);
        var (theta, u, _) = places.InLog(x, y);
        Features.Add(new RedStreak
        {
            Harmless = "red-streak",
            CentreX = x,
            CentreY = y,
            ReachX = scene.View == View.End ? 50 : 1e4,
            ReachY = 50,
            ThetaRad = theta,
            U = u,
            HalfReachMm = random.Uniform(8, 40),
            HalfWidthMm = random.Uniform(0.6, 2.2),
            Strength = random.Uniform(0.4, 0.9),
            Contrast = 0.2,
        });
    }

    public void Stamp()
    {
        var height = Math.Min(random.Uniform(5, 12), scene.Size2Mm * 0.3);
        var (x, y) = places.Free(height * 1.5);
        Features.Add(InkMark.Stamp(random, x, y, height, random.Normal(0, 0.12)));
    }

    public void Pencil()
    {
        var length = Math.Min(random.Uniform(10, 45), scene.Size2Mm * 0.7);
        var (x, y) = places.Free(length * 0.4);
        Features.Add(InkMark.Pencil(random, x, y, length, random.Uniform(-Math.PI, Math.PI)));
    }
}
