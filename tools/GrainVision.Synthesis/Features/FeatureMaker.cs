using GrainVision.Grading.Findings;

namespace GrainVision.Synthesis;

/// <summary>Makes one feature after another, each at a place of its own on the photographed surface.</summary>
internal sealed class FeatureMaker
{
    private readonly Scene _scene;
    private readonly SeededRandom _random;
    private readonly FeaturePlaces _places;
    private readonly double _lightRad;

    public FeatureMaker(Scene scene, SeededRandom random)
    {
        _scene = scene;
        _random = random;
        _places = new FeaturePlaces(scene, random);
        _lightRad = scene.Optics.LightFallRad - scene.Camera.RotationRad;
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
        var radius = Math.Min(_random.LogUniform(1.3, 11), 0.3 * _scene.Size2Mm);
        var (x, y) = _places.Free(radius * 2);
        var knot = KnotAt(x, y, radius, loose, _random.Chance(0.5) ? _random.Uniform(8, 40) : 1e9);
        Knots.Add(knot);
        Features.Add(new KnotFeature(knot, _random)
        {
            Kind = loose ? BlemishKind.LooseKnot : BlemishKind.Knot,
            CentreX = x,
            CentreY = y,
            ReachX = 80 + (8 * radius),
            ReachY = 80 + (8 * radius),
            Contrast = 0.5,
            Cracked = radius > 3 && _random.Chance(0.5),
        });
    }

    private Knot KnotAt(double x, double y, double radius, bool loose, double beyond)
    {
        var p = _scene.Surface.At(x, y);
        var (qx, qy) = _scene.Log.ClearFibreAt(p);
        var u = Math.Sqrt((qx * qx) + (qy * qy));
        var rise = _random.Uniform(0.08, 0.6);
        // Most branches start at the pith; pin knots and some others from a bud that broke later.
        var from = radius < 2 ? Math.Max(0, u - _random.Uniform(6, 30)) : _random.Chance(0.75) ? 0 : Math.Max(0, u - _random.Uniform(15, 60));
        return new Knot
        {
            ThetaRad = Math.Atan2(qy, qx),
            Z = p.Z - (rise * u),
            Rise = rise,
            FromMm = from,
            ToMm = u + (radius * 1.2) + beyond,
            RadiusPerMm = Math.Max(0.005, (radius - 0.25) / Math.Max(2, u - from)),
            GreatestRadiusMm = radius * _random.Uniform(1.0, 1.3),
            Loose = loose,
            Bulge = _random.Uniform(0.15, 0.45),
        };
    }

    private void Cluster()
    {
        var (x, y) = _places.Free(8);
        var members = new List<KnotFeature>();
        var count = 3 + _random.Index(5);
        for (var i = 0; i < count; i++)
        {
            var px = x + _random.Normal(0, 5);
            var py = Math.Clamp(y + _random.Normal(0, 3.5), (-_scene.Size2Mm / 2) + 1.5, (_scene.Size2Mm / 2) - 1.5);
            var knot = KnotAt(px, py, _random.Uniform(0.6, 1.5), false, _random.Uniform(2, 10));
            Knots.Add(knot);
            members.Add(new KnotFeature(knot, _random) { CentreX = px, CentreY = py, ReachX = 25, ReachY = 25 });
        }

        Features.Add(new PinKnots { Members = members, Kind = BlemishKind.PinKnotCluster, CentreX = x, CentreY = y, ReachX = 45, ReachY = 45, Contrast = 0.4 });
    }

    private void Pocket()
    {
        var (x, y) = _places.Free(8);
        var (theta, u, z) = _places.InLog(x, y);
        double length = _random.LogUniform(5, 32), width = _random.LogUniform(2.5, 10);
        Features.Add(new PitchPocket
        {
            Kind = BlemishKind.PitchPocket,
            CentreX = x,
            CentreY = y,
            ReachX = (_scene.View == View.End ? width : length) + 4,
            ReachY = (_scene.View == View.End ? width : length) + 4,
            ThetaRad = theta,
            U = u,
            Z = z,
            HalfLengthMm = length,
            HalfWidthMm = width,
            HalfThickMm = _random.LogUniform(0.45, 1.8),
            Contrast = 0.6,
        });
    }

    private void Crack(bool shake)
    {
        var end = _scene.View == View.End;
        var (x, y) = _places.Free(10);
        var (theta, u, z) = _places.InLog(x, y);
        // A check that lies in the face itself cannot be seen as a crack: there, only a shake can.
        if (!end)
            shake = _places.RingAngleDeg(x, y) > 55 || (shake && _places.RingAngleDeg(x, y) > 30);
        var length = _random.LogUniform(15, end ? 60 : 110);
        var reach = _random.LogUniform(4, 22);
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
            OpeningMm = _random.LogUniform(0.18, 0.9),
            Shake = shake,
            Contrast = 0.8,
        });
    }

    private void Hole()
    {
        var radius = _random.LogUniform(0.5, 1.9);
        var (x, y) = _places.Free(radius * 2);
        var aspect = _random.Chance(0.3) ? _random.Uniform(1.1, 1.7) : 1;
        Features.Add(new BoreHole
        {
            Kind = BlemishKind.BoreHole,
            CentreX = x,
            CentreY = y,
            ReachX = (radius * aspect) + 1,
            ReachY = (radius * aspect) + 1,
            RadiusMm = radius,
            Aspect = aspect,
            AngleRad = _random.Uniform(0, Math.PI),
            LightRad = _lightRad,
            Contrast = 0.9,
        });
    }

    private void Bruise()
    {
        double length = _random.LogUniform(2, 11), width = length * _random.Uniform(0.25, 1);
        var (x, y) = _places.Free(length);
        Features.Add(new Dent
        {
            Kind = BlemishKind.DentOrGouge,
            CentreX = x,
            CentreY = y,
            ReachX = length * 1.5,
            ReachY = length * 1.5,
            HalfLengthMm = length,
            HalfWidthMm = width,
            AngleRad = _random.Uniform(0, Math.PI),
            LightRad = _lightRad,
            Depth = _random.Uniform(0.35, 0.9),
            Torn = _random.Chance(0.4),
            Contrast = 0.3,
        });
    }

    private void Discolour()
    {
        double length = _random.LogUniform(6, 40), width = length * _random.Uniform(0.2, 0.8);
        width = Math.Min(width, _scene.Size2Mm * 0.35);
        var (x, y) = _places.Free(width);
        var strength = _random.Uniform(0.35, 0.9);
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
            Tint = _random.Chance(0.6) ? (0.72f, 0.66f, 0.58f) : (0.42f, 0.58f, 0.72f),
            Contrast = strength * 0.4,
        });
    }

    public void Pith()
    {
        var (x, y) = EndGroundTruth.Pith(_scene);
        Features.Add(new PithSpot { Kind = BlemishKind.Pith, CentreX = x, CentreY = y, ReachX = 3, ReachY = 3, Contrast = 0.6 });
    }

    public void IndentedRings(int count)
    {
        for (var i = 0; i < count; i++)
        {
            var (x, y) = _places.Anywhere();
            var (theta, u, _) = _places.InLog(x, y);
            Indents.Add(new Indent(theta, _random.Uniform(0.25, 0.7), _random.Uniform(0.7, 1.4), u - _random.Uniform(5, 40), u + _random.Uniform(5, 60)));
        }
    }

    public void Streak()
    {
        var (x, y) = _places.Free(4);
        var (theta, u, _) = _places.InLog(x, y);
        Features.Add(new RedStreak
        {
            Harmless = "red-streak",
            CentreX = x,
            CentreY = y,
            ReachX = _scene.View == View.End ? 50 : 1e4,
            ReachY = 50,
            ThetaRad = theta,
            U = u,
            HalfReachMm = _random.Uniform(8, 40),
            HalfWidthMm = _random.Uniform(0.6, 2.2),
            Strength = _random.Uniform(0.4, 0.9),
            Contrast = 0.2,
        });
    }

    public void Stamp()
    {
        var height = Math.Min(_random.Uniform(5, 12), _scene.Size2Mm * 0.3);
        var (x, y) = _places.Free(height * 1.5);
        Features.Add(InkMark.Stamp(_random, x, y, height, _random.Normal(0, 0.12)));
    }

    public void Pencil()
    {
        var length = Math.Min(_random.Uniform(10, 45), _scene.Size2Mm * 0.7);
        var (x, y) = _places.Free(length * 0.4);
        Features.Add(InkMark.Pencil(_random, x, y, length, _random.Uniform(-Math.PI, Math.PI)));
    }
}
