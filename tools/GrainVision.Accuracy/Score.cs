using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;

namespace GrainVision.Accuracy;

/// <summary>Everything counted over a set of trials.</summary>
internal sealed class Score
{
    /// <summary>0.15 mm: tolerance of a boundary (design.md section 8).</summary>
    private const double BoundaryToleranceMm = 0.15;

    private readonly List<Trial> _trials = [];
    private BoundaryScore _boundaries;

    public Row PerInch { get; } = new("rings per inch, whole radius", "%");

    public Row WorstInch { get; } = new("rings per inch, worst inch", "%");

    public Row Latewood { get; } = new("latewood share", "%");

    public Row Angle { get; } = new("ring angle", "°");

    public Row Scale { get; } = new("scale", "%");

    public Row Corner { get; } = new("outline, farthest corner", "mm");

    public Row SlopeEdge { get; } = new("slope of grain, edge grain", "°");

    public Row SlopeFlat { get; } = new("slope of grain, flat grain", "°");

    public IReadOnlyList<Trial> Trials => _trials;

    public IEnumerable<Row> Rows => [PerInch, WorstInch, Latewood, Angle, SlopeEdge, SlopeFlat, Scale, Corner];

    public double BoundaryF1 => _boundaries.Found + _boundaries.True == 0 ? 0 : 2.0 * _boundaries.Hits / (_boundaries.Found + _boundaries.True);

    public void Add(Trial trial)
    {
        _trials.Add(trial);
        if (trial.Answer is not { } m)
            return;
        var t = trial.Truth;
        Scale.Add(trial, t.Scale.PixelsPerMm, m.Scale.PixelsPerMm, relative: true);
        if (!t.OutlineCutByPhoto)
            Corner.Add(trial, 0, Measured.Exact(FarthestCorner(m.Outline, t.Outline) / t.Scale.PixelsPerMm), relative: false);
        if (m.Rings is { } rings && t.Rings is { } trueRings)
        {
            PerInch.Add(trial, trueRings.PerInch, rings.PerInch, relative: true);
            WorstInch.Add(trial, trueRings.WorstInch, rings.WorstInch, relative: true);
            Latewood.Add(trial, 100 * trueRings.LatewoodShare, rings.LatewoodShare.Scale(100), relative: false);
            var score = BoundaryScore.Of(rings.Boundaries, trueRings.Boundaries, trueRings.Path, BoundaryToleranceMm * t.Scale.PixelsPerMm);
            _boundaries = new BoundaryScore(_boundaries.Hits + score.Hits, _boundaries.Found + score.Found, _boundaries.True + score.True);
        }

        if (m.RingAngle is { } angle && t.RingAngle is { } trueAngle)
            Angle.Add(trial, trueAngle.Degrees, angle.Degrees, relative: false);
        if (m.Grain is { } grain && t.Grain is { } trueGrain)
            (trueGrain.NearRadial ? SlopeEdge : SlopeFlat).Add(trial, Deg(trueGrain.Slope), new Measured(Deg(grain.Slope.Value), Deg(grain.Slope.Low), Deg(grain.Slope.High)), relative: false);
    }

    private static double Deg(double tangent) => Units.RadToDeg(Math.Atan(tangent));

    /// <summary>Distance of the worst corner, whichever corner the answer calls the first.</summary>
    public static double FarthestCorner(IReadOnlyList<PointPx> found, IReadOnlyList<PointPx> truth) =>
        Enumerable.Range(0, 4).Min(shift => Enumerable.Range(0, 4).Max(i => found[(i + shift) % 4].DistanceTo(truth[i])));
}
