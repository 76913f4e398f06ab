using System.Globalization;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Verdicts;
using OpenCvSharp;

namespace GrainVision.Accuracy.Real;

/// <summary>Reported marks of real pictures against the outlined ones.</summary>
internal sealed class SurfaceTally
{
    /// <summary>A quarter of a crack's length must lie under marks: a mark on the next piece of a broken line does not count for this one.</summary>
    private const double LeastCovered = 0.25;

    /// <summary>4 px: a hair line is drawn to about its own blurred width (fixtures/surfaces/README.md); a mark that comes so near to a point of a crack lies on it.</summary>
    private const double NearPx = 4;

    /// <summary>3 px beside a mark of any other kind.</summary>
    private const double BesidePx = 3;

    /// <summary>Labels on which a reported mark is no false one. Sure dirt and pencil are harmless: a mark there is false.</summary>
    private static readonly string[] Excuses = ["knot", "crack", "pocket", "hole", "pith", "dent", "stain", "ignore"];

    /// <summary>Areas with harmless traces of the saw, up to half a board: they excuse nothing, sure or not.</summary>
    private static readonly string[] Areas = ["machining", "tornGrain"];

    private readonly Dictionary<string, (int Found, int All)> _found = [];
    private readonly List<string> _missed = [];
    private readonly List<string> _false = [];

    public int Pictures { get; private set; }

    public int Refused { get; private set; }

    public int Slopes { get; private set; }

    /// <summary>Kinds of the false marks, one a mark.</summary>
    public IReadOnlyList<string> FalseKinds => _false;

    public int FalseCracks { get; private set; }

    public int Unlabelled { get; private set; }

    public int UnlabelledClear { get; private set; }

    public int CracksNamed { get; private set; }

    /// <summary>Pictures with a sure blemish whose surface was called clear: the dangerous ones.</summary>
    public List<string> ClearThoughMarked { get; } = [];

    public List<string> Accepted { get; } = [];

    /// <summary>Sure cracks of which less than a quarter lies under reported marks.</summary>
    public IReadOnlyList<string> MissedCracks => _missed;

    public (int Found, int All) Of(string kind) => _found.GetValueOrDefault(kind);

    public void Add(RealPicture picture, Measurement? m)
    {
        Pictures++;
        if (m is null)
        {
            Refused++;
            return;
        }

        Slopes += m.Grain is null ? 0 : 1;
        foreach (var mark in picture.Sure)
            AddSure(picture, mark, m);
        foreach (var mark in m.Blemishes.Where(b => !picture.Marks.Any(l => IsExcuse(l) && On(b, l))))
        {
            _false.Add(BlemishWords.From(mark.Kind));
            FalseCracks += RealJob.IsCrack(mark) ? 1 : 0;
        }

        if (picture.Unlabelled)
        {
            Unlabelled++;
            UnlabelledClear += m.Blemishes.Count == 0 ? 1 : 0;
        }

        if (m.Surface?.Answer == SurfaceAnswer.Clear && picture.Sure.Any())
            ClearThoughMarked.Add(picture.Name);
        if (m.Verdict?.Outcome == VerdictOutcome.Accept)
            Accepted.Add(picture.Name);
    }

    private void AddSure(RealPicture picture, RealMark mark, Measurement m)
    {
        var inKnot = mark.Kind == "crack" && picture.Marks.Any(k => k.Kind == "knot" && k.Holds((mark.Box[0] + mark.Box[2]) / 2, (mark.Box[1] + mark.Box[3]) / 2, 0));
        if (mark.Kind != "crack")
        {
            Count(mark.Kind, m.Blemishes.Any(b => On(b, mark)));
            return;
        }

        var covered = Covered(mark, m.Blemishes);
        Count(inKnot ? "crack in a knot" : "crack along the grain", covered >= LeastCovered);
        if (!inKnot)
            CracksNamed += Covered(mark, m.Blemishes.Where(b => RealJob.CrackProbability(b) >= 0.5)) >= LeastCovered ? 1 : 0;
        if (covered < LeastCovered)
            _missed.Add(string.Create(CultureInfo.InvariantCulture, $"{picture.Name} at ({(mark.Box[0] + mark.Box[2]) / 2:0}, {(mark.Box[1] + mark.Box[3]) / 2:0}){(inKnot ? " in a knot" : "")} {100 * covered:0} %"));
    }

    /// <summary>An unsure mark counts neither for nor against a reader (fixtures/surfaces/README.md).</summary>
    private static bool IsExcuse(RealMark label) => Excuses.Contains(label.Kind) || (!label.Sure && !Areas.Contains(label.Kind));

    private void Count(string kind, bool found)
    {
        var (f, all) = Of(kind);
        _found[kind] = (f + (found ? 1 : 0), all + 1);
    }

    private static bool On(BlemishFinding found, RealMark label) =>
        label.Kind == "crack" && label.Line.Count > 0 ? Covered(label, [found]) > 0 : RealJob.Touch(RealJob.Box(found.Outline), label.Box, BesidePx);

    /// <summary>Share of a crack's points that lie within <see cref="NearPx"/> of a mark.</summary>
    private static double Covered(RealMark crack, IEnumerable<BlemishFinding> marks)
    {
        var rims = marks.Select(b => b.Outline.Select(p => new Point2f((float)p.X, (float)p.Y)).ToArray()).ToList();
        return crack.Line.Count(p => rims.Any(r => Cv2.PointPolygonTest(r, new Point2f((float)p.X, (float)p.Y), measureDist: true) >= -NearPx)) / (double)crack.Line.Count;
    }
}
