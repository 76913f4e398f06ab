namespace GrainVision.Synthesis;

/// <summary>Shape of one log, as numbers.</summary>
public sealed record LogShape
{
    /// <summary>Drop of a ring's radius along the log, mm per mm: ring surfaces are cones.</summary>
    public double Taper { get; init; }

    /// <summary>Eccentric and out-of-round growth: ring radius swells as 1 + sum of amplitude x cos(n(theta - phase)), n = 1, 2, 3...</summary>
    public IReadOnlyList<(double Amplitude, double PhaseRad)> Harmonics { get; init; } = [];

    /// <summary>Root mean square of the rings' smooth wobble, mm.</summary>
    public double WobbleMm { get; init; }

    /// <summary>Root mean square of the pith's wandering, mm.</summary>
    public double PithWobbleMm { get; init; }

    /// <summary>Spiral grain at the reference radius, rad; positive turns with rising angle along z.</summary>
    public double SpiralRad { get; init; }

    /// <summary>Change of the spiral angle with radius, rad per mm.</summary>
    public double SpiralPerMm { get; init; }

    /// <summary>Reference radius at which the spiral angle is <see cref="SpiralRad"/>, mm.</summary>
    public double SpiralAtMm { get; init; }

    /// <summary>Root mean square of a slow wave of the fibres along the log, mm.</summary>
    public double WavyGrainMm { get; init; }
}

/// <summary>
/// Geometry of a log. Every point lies on one fibre; the fibre is known by where it pierces the reference plane z = 0 if all
/// distortions were undone: <see cref="FibreAt"/> gives that point (qx, qy). Then |q| is the ring's reference radius, curves of
/// constant q are the fibres, surfaces of constant |q| are the growth layers, and picture and truth come from the same map.
/// </summary>
public sealed class LogModel
{
    private readonly LogShape _shape;
    private readonly SmoothWave? _wobble;
    private readonly SmoothWave? _pithX;
    private readonly SmoothWave? _pithY;
    private readonly SmoothWave? _wave;

    public LogModel(LogShape shape, SeededRandom random)
    {
        ArgumentNullException.ThrowIfNull(shape);
        ArgumentNullException.ThrowIfNull(random);
        _shape = shape;
        if (shape.WobbleMm > 0)
            _wobble = new SmoothWave(random.Fork("wobble"), shape.WobbleMm, 45, 500);
        if (shape.PithWobbleMm > 0)
        {
            _pithX = new SmoothWave(random.Fork("pith-x"), shape.PithWobbleMm, 1e9, 900, 3);
            _pithY = new SmoothWave(random.Fork("pith-y"), shape.PithWobbleMm, 1e9, 900, 3);
        }

        if (shape.WavyGrainMm > 0)
            _wave = new SmoothWave(random.Fork("wave"), shape.WavyGrainMm, 120, 350);
    }

    private LogModel(LogModel other)
    {
        (_shape, _wobble, _pithX, _pithY, _wave) = (other._shape, other._wobble, other._pithX, other._pithY, other._wave);
    }

    public LogShape Shape => _shape;

    /// <summary>Branches inside the log.</summary>
    public IReadOnlyList<Knot> Knots { get; init; } = [];

    /// <summary>Grooves in the rings.</summary>
    public IReadOnlyList<Indent> Indents { get; init; } = [];

    /// <summary>The same log with other knots and indents.</summary>
    public LogModel With(IReadOnlyList<Knot> knots, IReadOnlyList<Indent> indents) => new(this) { Knots = knots, Indents = indents };

    /// <summary>Pith position at a height of the log, mm.</summary>
    public Vec3 PithAt(double z)
    {
        var at = new Vec3(0, 0, z);
        return new Vec3(_pithX?.At(at) ?? 0, _pithY?.At(at) ?? 0, z);
    }

    /// <summary>The fibre through a point: where it pierces the undistorted reference plane, mm.</summary>
    public (double Qx, double Qy) FibreAt(Vec3 p)
    {
        var (qx, qy) = ClearFibreAt(p);
        Disturb(ref qx, ref qy, p.Z);
        return (qx, qy);
    }

    /// <summary>Applies indents and knots to a fibre of the clear log.</summary>
    public void Disturb(ref double qx, ref double qy, double z)
    {
        if (Indents.Count > 0)
        {
            var u = Math.Sqrt((qx * qx) + (qy * qy));
            var dip = 0.0;
            foreach (var indent in Indents)
                dip += indent.At(qx, qy, u);
            if (dip != 0)
            {
                // The rings dip inward: here lies what elsewhere lies further out.
                qx *= (u + dip) / u;
                qy *= (u + dip) / u;
            }
        }

        foreach (var knot in Knots)
            knot.Flow(ref qx, ref qy, z);
    }

    /// <summary>The fibre through a point as if the log had no knots and no indents: smooth enough to interpolate.</summary>
    public (double Qx, double Qy) ClearFibreAt(Vec3 p)
    {
        var pith = PithAt(p.Z);
        var dx = p.X - pith.X;
        var dy = p.Y - pith.Y;
        var rho = Math.Sqrt((dx * dx) + (dy * dy));
        var theta = Math.Atan2(dy, dx);
        var swell = 1.0;
        for (var n = 0; n < _shape.Harmonics.Count; n++)
            swell += _shape.Harmonics[n].Amplitude * Math.Cos((n + 1) * (theta - _shape.Harmonics[n].PhaseRad));
        // Taper and wobble die away towards the pith, where a ring has no room for them.
        var room = rho / (rho + 4);
        var u = (rho / swell) + (room * ((_shape.Taper * p.Z) + (_wobble?.At(p) ?? 0)));
        u = Math.Max(u, 1e-6);
        var spiral = _shape.SpiralRad + (_shape.SpiralPerMm * (u - _shape.SpiralAtMm));
        var drift = (Math.Tan(spiral) * p.Z) + (_wave?.At(p) ?? 0);
        theta -= drift / (u + 6);
        var (sin, cos) = Math.SinCos(theta);
        return (u * cos, u * sin);
    }

    /// <summary>Reference radius of the ring surface through a point of the clear log, mm.</summary>
    public double RadiusAt(Vec3 p)
    {
        var (qx, qy) = ClearFibreAt(p);
        return Math.Sqrt((qx * qx) + (qy * qy));
    }

    /// <summary>Gradient of <see cref="RadiusAt"/>: the normal of the clear log's growth layer, not of unit length.</summary>
    public Vec3 RingNormalAt(Vec3 p)
    {
        const double h = 1e-3;
        return new Vec3(
            (RadiusAt(p + new Vec3(h, 0, 0)) - RadiusAt(p - new Vec3(h, 0, 0))) / (2 * h),
            (RadiusAt(p + new Vec3(0, h, 0)) - RadiusAt(p - new Vec3(0, h, 0))) / (2 * h),
            (RadiusAt(p + new Vec3(0, 0, h)) - RadiusAt(p - new Vec3(0, 0, h))) / (2 * h));
    }

    /// <summary>Unit direction of the fibres of the clear log at a point, pointing up the log.</summary>
    public Vec3 FibreDirectionAt(Vec3 p)
    {
        const double h = 1e-3;
        var gx = default(Vec3);
        var gy = default(Vec3);
        Vec3[] axes = [new(1, 0, 0), new(0, 1, 0), new(0, 0, 1)];
        foreach (var axis in axes)
        {
            var (ax, ay) = ClearFibreAt(p + (axis * h));
            var (bx, by) = ClearFibreAt(p - (axis * h));
            gx += axis * ((ax - bx) / (2 * h));
            gy += axis * ((ay - by) / (2 * h));
        }

        var along = gx.Cross(gy).Unit();
        return along.Z < 0 ? -along : along;
    }
}
