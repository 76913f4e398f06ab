using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Grading.Rules;
using GrainVision.Grading.Verdicts;
using GrainVision.Measuring.Surfaces;
using GrainVision.Measuring.Geometry;
using GrainVision.Measuring.Scale;
using GrainVision.Synthesis;

namespace GrainVision.Accuracy;

/// <summary>Everything counted over a set of trials.</summary>
internal sealed class Score
{
    /// <summary>0.15 mm: tolerance of a boundary (design.md section 8).</summary>
    private const double BoundaryToleranceMm = 0.15;

    /// <summary>3 mm: knots from this diameter on must be found (design.md section 8).</summary>
    private const double LeastKnotMm = 3;

    private readonly List<Trial> _trials = [];
    private BoundaryScore _boundaries;

    public Row PerInch { get; } = new("rings per inch, whole radius", "%", 1);

    public Row WorstInch { get; } = new("rings per inch, worst inch", "%");

    public Row Latewood { get; } = new("latewood share", "%");

    public Row Angle { get; } = new("ring angle", "°", 0.5);

    public Row Scale { get; } = new("scale", "%");

    public Row Corner { get; } = new("outline, farthest corner", "mm");

    public Row SlopeEdge { get; } = new("slope of grain, edge grain", "°", 0.25);

    public Row SlopeFlat { get; } = new("slope of grain, flat grain", "°", 1);

    public Row SlopeWorst { get; } = new("slope of grain, worst window of edge grain", "°");

    public Row Pith { get; } = new("distance of the pith, where given", "mm");

    public Row Size { get; } = new("sides of the section", "%");

    public Row Knot { get; } = new("diameter of knots found", "mm");

    /// <summary>Every quantity that RESULTS.md reports.</summary>
    public IReadOnlyList<Row> Quantities => [PerInch, WorstInch, Angle, SlopeEdge, SlopeFlat, SlopeWorst, Scale, Corner, Size, Latewood, Pith, Knot];

    public int Ends => _trials.Count(t => t.Truth.Rings is not null);

    public int Faces => _trials.Count - Ends;

    public int FacesMeasured => _trials.Count(t => t.Truth.Grain is not null && t.Answer is not null);

    public int Knots { get; private set; }

    public int KnotsFound { get; private set; }

    public int FalseBlemishes { get; private set; }

    public int Accepts { get; private set; }

    /// <summary>Accepted by the book that the trials were judged by, though the truth breaks it.</summary>
    public int FalseAccepts { get; private set; }

    /// <summary>Of every outline that was found, not given.</summary>
    public List<OutlineError> Outlines { get; } = [];

    public IReadOnlyList<Trial> Trials => _trials;

    public static Score Compute(IEnumerable<Trial> trials)
    {
        var score = new Score();
        foreach (var trial in trials)
            score.Add(trial);
        return score;
    }

    /// <summary>On how many photos a quantity could have been given.</summary>
    public int Asked(Row row) =>
        row == SlopeEdge || row == SlopeWorst ? _trials.Count(t => t.Truth.Grain is { NearRadial: true })
        : row == SlopeFlat ? _trials.Count(t => t.Truth.Grain is { NearRadial: false })
        : row == Scale ? _trials.Count
        : row == Corner ? _trials.Count(t => !t.Truth.OutlineCutByPhoto)
        : row == Size ? 2 * _trials.Count(t => !t.Truth.OutlineCutByPhoto)
        : row == Knot ? Knots
        : Ends;

    public IEnumerable<Row> Rows => [PerInch, WorstInch, Latewood, Angle, SlopeEdge, SlopeFlat, Scale, Corner, Knot];

    public double BoundaryF1 => _boundaries.Found + _boundaries.True == 0 ? 0 : 2.0 * _boundaries.Hits / (_boundaries.Found + _boundaries.True);

    public void Add(Trial trial)
    {
        _trials.Add(trial);
        if (trial.Answer is not { } m)
            return;
        var t = trial.Truth;
        Scale.Add(trial, TrueScaleAt(t, m.Outline), m.Scale.PixelsPerMm, relative: true);
        Outlines.Add(OutlineError.Of(m, t));
        if (!t.OutlineCutByPhoto)
            Corner.Add(trial, 0, Measured.Exact(FarthestCorner(m.Outline, t.Outline) / t.Scale.PixelsPerMm), relative: false);
        if (m.Rings is { } rings && t.Rings is { } trueRings)
        {
            PerInch.Add(trial, trueRings.PerInch, rings.PerInch, relative: true);
            WorstInch.Add(trial, trueRings.WorstInch, rings.WorstInch, relative: true);
            Latewood.Add(trial, 100 * trueRings.LatewoodShare, rings.LatewoodShare.Scale(100), relative: false);
            var score = BoundaryScore.Compute(rings.Boundaries, trueRings.Boundaries, trueRings.Path, BoundaryToleranceMm * t.Scale.PixelsPerMm);
            _boundaries = new BoundaryScore(_boundaries.Hits + score.Hits, _boundaries.Found + score.Found, _boundaries.True + score.True);
        }

        if (m.RingAngle is { } angle && t.RingAngle is { } trueAngle)
            Angle.Add(trial, trueAngle.Degrees, angle.Degrees, relative: false);
        if (m.RingAngle?.Pith is { } pith && t.RingAngle is { } truePith)
            Pith.Add(trial, truePith.PithDistanceMm, pith.DistanceMm, relative: false);
        if (m.Size is { } size && !t.OutlineCutByPhoto)
        {
            Size.Add(trial, t.SizeMm.First, size.FirstSideMm, relative: true);
            Size.Add(trial, t.SizeMm.Second, size.SecondSideMm, relative: true);
        }

        if (t.View == View.Face)
            AddBlemishes(trial, m);
        if (m.Verdict is { Outcome: VerdictOutcome.Accept } verdict && RuleBookSet.Embedded.TryGet(verdict.RuleBook, out var book))
        {
            Accepts++;
            FalseAccepts += TruthVerdict.Broken(t, book).Count > 0 ? 1 : 0;
        }

        if (m.Grain is { } worst && t.Grain is { NearRadial: true } window)
            SlopeWorst.Add(trial, Deg(window.WorstWindow), InDegrees(worst.WorstWindow), relative: false);
        if (m.Grain is { } grain && t.Grain is { } trueGrain)
            (trueGrain.NearRadial ? SlopeEdge : SlopeFlat).Add(trial, Deg(trueGrain.Slope), InDegrees(grain.Slope), relative: false);
    }

    /// <summary>
    /// The true scale where the answer gives its own: in the middle of its outline. Of a tilted face that runs off the photo that is another place than the
    /// middle of the drawn surface, and the scale there another one.
    /// </summary>
    private static double TrueScaleAt(PhotoTruth t, IReadOnlyList<PointPx> outline)
    {
        var pxFromMm = new Homography([.. t.Scale.PxFromMm]);
        var mmFromPx = pxFromMm.Inverse();
        var corners = outline.Select(mmFromPx.Map).ToList();
        var middle = new PointPx(corners.Average(c => c.X), corners.Average(c => c.Y));

        // As the photo shows it: the lens stretches by 1 + k1 r^2 across and 1 + 3 k1 r^2 along the radius.
        var (x, y) = ((t.Photo.Width - 1) / 2.0, (t.Photo.Height - 1) / 2.0);
        var r2 = Math.Pow(pxFromMm.Map(middle).DistanceTo(new PointPx(x, y)), 2) / ((x * x) + (y * y));
        return pxFromMm.MagnificationAt(middle) * Math.Sqrt((1 + (t.Scale.LensK1 * r2)) * (1 + (3 * t.Scale.LensK1 * r2)));
    }

    /// <summary>A tangent as an angle, degrees.</summary>
    public static Measured InDegrees(Measured slope) => new(Deg(slope.Value), Deg(slope.Low), Deg(slope.High));

    /// <summary>A blemish is found where a candidate's middle lies on it, or its middle on the candidate.</summary>
    private void AddBlemishes(Trial trial, Measurement m)
    {
        var matched = new HashSet<BlemishFinding>();
        foreach (var blemish in trial.Truth.Blemishes)
        {
            var hits = m.Blemishes.Where(b => Holds(b.Outline, blemish.Centre) || Holds(blemish.Outline, b.Centre)).ToList();
            matched.UnionWith(hits);
            if (blemish.Kind is not (BlemishKind.Knot or BlemishKind.LooseKnot or BlemishKind.SpikeKnot) || blemish.DiameterMm < LeastKnotMm)
                continue;
            Knots++;
            // The diameter of a knot is what is told of a knot there; a stain or check that is seen over it too has a size of its own.
            if (hits.OrderByDescending(b => BlemishKinds.IsKnot(b.Kind)).ThenByDescending(b => b.DiameterMm.Value).FirstOrDefault() is not { } knot)
                continue;
            KnotsFound++;
            Knot.Add(trial, blemish.DiameterMm, knot.DiameterMm, relative: false);
        }

        FalseBlemishes += m.Blemishes.Count(b => !matched.Contains(b));
    }

    /// <summary>Is the point inside the polygon? Even-odd rule.</summary>
    private static bool Holds(IReadOnlyList<PointPx> polygon, PointPx p)
    {
        var inside = false;
        for (int i = 0, j = polygon.Count - 1; i < polygon.Count; j = i++)
        {
            var (a, b) = (polygon[i], polygon[j]);
            if (a.Y > p.Y != b.Y > p.Y && p.X < ((b.X - a.X) * (p.Y - a.Y) / (b.Y - a.Y)) + a.X)
                inside = !inside;
        }

        return inside;
    }

    private static double Deg(double tangent) => Units.RadToDeg(Math.Atan(tangent));

    /// <summary>Distance of the worst corner, whichever corner the answer calls the first.</summary>
    public static double FarthestCorner(IReadOnlyList<PointPx> found, IReadOnlyList<PointPx> truth) =>
        Enumerable.Range(0, 4).Min(shift => Enumerable.Range(0, 4).Max(i => found[(i + shift) % 4].DistanceTo(truth[i])));
}
