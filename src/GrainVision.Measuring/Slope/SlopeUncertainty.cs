using GrainVision.Grading.Quantities;
using GrainVision.Measuring.Section;

namespace GrainVision.Measuring.Slope;

/// <summary>What a slope is worth, by what it was read from; tangents throughout.</summary>
internal static class SlopeUncertainty
{
    /// <summary>0.0014 (0.08°): what the search leaves on drawn lines.</summary>
    private const double Model = 0.0014;

    /// <summary>
    /// 0.045 (2.6°): usual slope of the fibres on the adjacent face, standard deviation (spiral and lean of sound softwood, common practice, no source). Ring
    /// lines of a face at ring angle a miss the fibres by that slope times cot(a), since the fibres run within the growth layers. At 0.04 without
    /// <see cref="OfSteepness"/> a ninth of drawn faces lay outside (figures: tools/GrainVision.Accuracy/RESULTS.md).
    /// </summary>
    private const double AdjacentTangent = 0.045;

    /// <summary>0.3: what the ring lines' own slope adds to it, as a share: a piece that leans much in one face leans much in the other.</summary>
    private const double OfSteepness = 0.3;

    /// <summary>
    /// 30 degrees: least ring angle that a face with straight, parallel, even ring lines may have where nobody stated it. Rift faces of large logs,
    /// and a real flat-sawn ash board, showed just such lines: the figure alone cannot tell, so the interval covers that cut (the adjacent
    /// slope times 1.7), and no limit is met by it. The end's ring angle makes it ten times as narrow.
    /// </summary>
    private const double LeastUnstatedAngleDeg = 30;

    /// <summary>0.0027: streaks against the fibres' true direction on drawn faces, whatever their number.</summary>
    private const double Streaks = 0.0027;

    /// <summary>0.0075: the same for one window, falling with the root of their number.</summary>
    private const double PerWindow = 0.0075;

    /// <summary>0.0008: the same for faint streaks, divided by their likeness.</summary>
    private const double Faint = 0.0008;

    /// <summary>0.5: share of the shift by which ring figure was taken out of the streaks that is taken for its own uncertainty.</summary>
    private const double OfLeakShift = 0.5;

    /// <summary>0.4: share of ring figure in the streaks beyond which they are not believed.</summary>
    private const double MostLeak = 0.4;

    /// <summary>0.035 (2°): scatter of the windows beyond which the streaks are no one direction.</summary>
    private const double WidestSpread = 0.035;

    /// <summary>0.03: share of the long edges' convergence that is left in the axis midway between them where the grain converges with them.</summary>
    private const double OfConverging = 0.03;

    /// <summary>0.1: likeness under which streaks are too faint to tell from noise and compression.</summary>
    private const double LeastCorrelation = 0.1;

    /// <summary>0.2 (1:5): steeper fibres are in no sawn timber that anyone would photograph for this; such streaks are ring figure.</summary>
    private const double SteepestStreaks = 0.2;

    /// <summary>0.025 (1.4°): streaks that run with slanting ring lines to within this, where some ring figure leaks, may be nothing else.</summary>
    private const double BesideRings = 0.025;

    /// <summary>0.2: leak from which such streaks are not believed.</summary>
    private const double LeakBesideRings = 0.2;

    /// <summary>0.75: likeness beyond which streaks off edge grain are ring figure: that reaches 0.9, streaks 0.1 to 0.7. Bent lines leak without showing it far along.</summary>
    private const double MostLikeness = 0.75;

    /// <summary>0.08 (4.6°): slope from which they are not either: steep figure is commoner than steep fibres that happen to run with it.</summary>
    private const double SteepBesideRings = 0.08;

    /// <summary>
    /// The axis: how well its edges were found, and half their convergence as far as it is not perspective. Perspective makes the grain converge with the edges;
    /// where the grain stays parallel, one of the edges is none (a dark ring line followed as if it were the piece's side), and nobody knows which.
    /// </summary>
    /// <param name="outline">The piece.</param>
    /// <param name="axis">Its two edges.</param>
    /// <param name="asShown">Slopes as they show.</param>
    public static double Axis(PieceOutline outline, LocalAxis axis, SlopeGrid asShown) => Root(
        outline.AxisUncertaintyRad, Math.Max(OfConverging, (1 - (axis.KnowsPerspective ? 0 : axis.FollowedBy(asShown))) / 2) * axis.Converging, Model);

    public static double RingLines(double? ringAngleDeg, double slope, double axis) => Root(
        axis, Math.Max(0.002, Root(AdjacentTangent, OfSteepness * slope) / Math.Tan(Units.DegToRad(Math.Min(ringAngleDeg ?? LeastUnstatedAngleDeg, 88)))));

    public static double FibreStreaks(FibreStreaks streaks, double axis) => Root(
        axis, Streaks, PerWindow / Math.Sqrt(streaks.Field.Count), Faint / streaks.Correlation, OfLeakShift * streaks.LeakShift);

    /// <summary>Why the streaks are not to be believed; null where they are.</summary>
    /// <param name="streaks">What was read; null for nothing.</param>
    /// <param name="edgeGrain">The face is edge grain by the ring angle that was stated: there ring lines and fibres run together.</param>
    public static string? WhyNot(FibreStreaks? streaks, bool edgeGrain)
    {
        if (streaks is null || streaks.Grid.Shown < 0.3 || streaks.Grid.Windows.Count < 4 || streaks.Correlation < LeastCorrelation)
            return "no fibre streaks can be followed";
        var beside = !edgeGrain && (streaks.Correlation > MostLikeness
            || (streaks.FromRings < BesideRings && (streaks.Leak > LeakBesideRings || Math.Abs(streaks.Grid.Median()) > SteepBesideRings)));
        if (beside || Math.Max(streaks.Leak, streaks.Persistence) > MostLeak || Math.Abs(streaks.Grid.Median()) > SteepestStreaks)
            return "its fine streaks cannot be told from the ring figure";
        return streaks.Field.Spread > WidestSpread ? "its fine streaks run in no one direction" : null;
    }

    /// <summary>Ring lines and streaks of one face: weighted by their inverse variance, the uncertainty widened where they disagree (R. T. Birge, Phys. Rev. 40, 1932, doi:10.1103/PhysRev.40.207).</summary>
    public static SlopeReading Combine(SlopeReading rings, SlopeReading streaks, SurfaceFrame plane)
    {
        var (r, ru) = rings.Overall(plane);
        var (s, su) = streaks.Overall(plane);
        var (rw, sw) = (1 / (ru * ru), 1 / (su * su));
        var mean = ((r * rw) + (s * sw)) / (rw + sw);
        var birge = Math.Max(1, Math.Sqrt(((r - mean) * (r - mean) * rw) + ((s - mean) * (s - mean) * sw)));
        return streaks with { Offset = mean - s, Common = streaks.Common * birge * Math.Sqrt(sw / (rw + sw)) };
    }

    private static double Root(params ReadOnlySpan<double> terms)
    {
        var sum = 0.0;
        foreach (var t in terms)
            sum += t * t;
        return Math.Sqrt(sum);
    }
}
