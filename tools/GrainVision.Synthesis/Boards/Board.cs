using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;

namespace GrainVision.Synthesis;

/// <summary>One piece as a solid cut from one log: all six surfaces are planes through the same rings and fibres.</summary>
internal sealed class Board
{
    private readonly LogModel _log;
    private readonly RingSequence _rings;
    private readonly Vec3 _middleOfEndA;
    private readonly Vec3 _along;
    private readonly Vec3 _wide;
    private readonly Vec3 _thick;

    public Board(BoardSpec plan, SeededRandom random)
    {
        (WideMm, ThickMm, LengthMm) = (plan.WideMm, plan.ThickMm, plan.LengthMm);
        _log = new LogModel(
            new LogShape
            {
                Taper = 0.002,
                Harmonics = [(random.Uniform(0, 0.05), random.Uniform(0, 6.28))],
                WobbleMm = 0.03,
                PithWobbleMm = 0.3,
                SpiralRad = Units.DegToRad(random.Normal(plan.SpiralDeg, 0.2)),
                SpiralAtMm = plan.PithDistanceMm,
                WavyGrainMm = 0.03,
            },
            random.Fork("log"));
        var theta = random.Uniform(-Math.PI, Math.PI);
        _middleOfEndA = _log.PithAt(0) + new Vec3(plan.PithDistanceMm * Math.Cos(theta), plan.PithDistanceMm * Math.Sin(theta), 0);

        // The rings' normal in the crosscut; the wide side meets their tangent at the wanted angle.
        var n = _log.RingNormalAt(_middleOfEndA);
        var normal = new Vec3(n.X, n.Y, 0).Unit();
        var up = new Vec3(0, 0, 1);
        var (sin, cos) = Math.SinCos(Units.DegToRad(plan.RingAngleDeg));
        var side = (up.Cross(normal) * cos) + (normal * sin);

        // Diagonal grain: the piece leans in the log, away from the pith.
        _along = (up + (side * plan.WideSlope) + (up.Cross(side) * plan.NarrowSlope)).Unit();
        _wide = (side - (_along * side.Dot(_along))).Unit();
        _thick = _along.Cross(_wide);
        _rings = Grow(plan, SpeciesLook.Of(plan.Species), random.Fork("rings"));
    }

    public double WideMm { get; }

    public double ThickMm { get; }

    public double LengthMm { get; }

    /// <summary>The scene with this board in place of its own wood.</summary>
    /// <param name="scene">Camera, light and card.</param>
    /// <param name="surface">Which surface it shows.</param>
    /// <param name="stationMm">Of a face: station of the middle of what is shown.</param>
    public Scene Put(Scene scene, Surface surface, double stationMm)
    {
        var station = surface switch { Surface.EndA => 0, Surface.EndB => LengthMm, _ => stationMm };
        var at = _middleOfEndA + (_along * station);
        var (origin, axis1, axis2) = surface switch
        {
            Surface.EndA => (at, _wide, _thick),
            Surface.EndB => (at, -_wide, _thick),
            Surface.Face1 => (at - (_thick * (ThickMm / 2)), _along, _wide),
            Surface.Face2 => (at + (_wide * (WideMm / 2)), _along, _thick),
            Surface.Face3 => (at + (_thick * (ThickMm / 2)), _along, -_wide),
            _ => (at - (_wide * (WideMm / 2)), _along, -_thick),
        };
        return scene with
        {
            Log = _log,
            Rings = _rings,
            Surface = new WoodPlane(origin, axis1, axis2, surface <= Surface.EndB, _log.RadiusAt(origin)),
            Look = scene.Look with { SapwoodFromMm = 1e9 },
            Features = [],
        };
    }

    private RingSequence Grow(BoardSpec plan, SpeciesLook look, SeededRandom random)
    {
        double least = double.MaxValue, greatest = 0, all = 0;
        foreach (var station in new[] { 0, LengthMm })
        {
            for (var i = 0; i < 4; i++)
            {
                var corner = _middleOfEndA + (_along * station) + (_wide * (((i & 1) - 0.5) * WideMm)) + (_thick * (((i >> 1) - 0.5) * ThickMm));
                all = Math.Max(all, _log.RadiusAt(corner));
            }
        }

        // The asked-for mean holds along the radial path through the middle of end A.
        var step = _log.RingNormalAt(_middleOfEndA).Unit();
        for (var t = -150.0; t <= 150; t++)
        {
            var d = step * t;
            if (Math.Abs(d.Dot(_wide)) > WideMm / 2 || Math.Abs(d.Dot(_thick)) > ThickMm / 2)
                continue;
            var u = _log.RadiusAt(_middleOfEndA + d);
            (least, greatest) = (Math.Min(least, u), Math.Max(greatest, u));
        }

        // Radius here is the reference radius; eccentric growth stretches it by the gradient's length.
        var width = Units.MmPerInch / plan.RingsPerInch * _log.RingNormalAt(_middleOfEndA).Length;
        return RingSequence.Grow(random, look, least, greatest, all, width, constant: false, falseRingShare: 0);
    }
}
