using System.Globalization;
using System.Text;
using GrainVision.Grading.Findings;

namespace GrainVision.Accuracy.Real;

/// <summary>Real sawn faces (fixtures/surfaces) through the whole product.</summary>
internal static class RealFaces
{
    public static SurfaceTally Measure(RealFixtures fixtures, IEnumerable<RealPicture> pictures, int workers)
    {
        var list = pictures.ToList();
        var answers = new Measurement?[list.Count];
        Parallel.For(0, list.Count, new ParallelOptions { MaxDegreeOfParallelism = workers }, i =>
            answers[i] = RealJob.Run(fixtures.Bytes(list[i].File), View.Face, list[i].WoodOutline(0), RealJob.FacePitch).Found);
        var tally = new SurfaceTally();
        for (var i = 0; i < list.Count; i++)
            tally.Add(list[i], answers[i]);
        return tally;
    }

    public static string Table(RealFixtures fixtures, int workers)
    {
        var (test, choose) = (Split("test"), Split("choose"));
        var text = new StringBuilder("| what | target | test | choose (networks chosen and trees grown on it) |\n|---|---|---|---|\n");
        Row("pictures, refused", "", t => $"{t.Pictures}, {t.Refused}");
        Row("knots found", "97 %", t => Of(t.Of("knot")));
        Row("cracks along the grain found", "all", t => Of(t.Of("crack along the grain")));
        Row("of them named a crack with p >= 0.5", "all", t => $"{t.CracksNamed} of {t.Of("crack along the grain").All}");
        Row("cracks in knots under a mark", "all", t => Of(t.Of("crack in a knot")));
        Row("pockets found", "98 %", t => Of(t.Of("pocket")));
        Row("holes found", "98 %", t => Of(t.Of("hole")));
        Row("pith found", "", t => Of(t.Of("pith")));
        Row("false marks a face", "0.1", t => PerFace(t.FalseKinds.Count, t));
        Row("their kinds", "", t => List([.. t.FalseKinds.GroupBy(k => k).OrderByDescending(g => g.Count()).ThenBy(g => g.Key, StringComparer.Ordinal).Select(g => $"{g.Count()} {g.Key}")]));
        Row("of them named a crack, a face", "0.05", t => PerFace(t.FalseCracks, t));
        Row("pictures without a label and without a mark", "85 %", t => $"{t.UnlabelledClear} of {t.Unlabelled}");
        Row("surface called clear though a sure blemish is on it", "0", t => t.ClearThoughMarked.Count.ToString(CultureInfo.InvariantCulture));
        Row("accepted by the spar book", "0", t => t.Accepted.Count.ToString(CultureInfo.InvariantCulture));
        Row("slope given", "", t => $"{t.Slopes} of {t.Pictures}");
        foreach (var (name, tally) in new[] { ("test", test), ("choose", choose) })
            text.Append($"\nCracks missed, and how much of them is under marks ({name}): {List(tally.MissedCracks)}; called clear: {List(tally.ClearThoughMarked)}.");
        return text.Append('\n').ToString();

        SurfaceTally Split(string split) => Measure(fixtures, fixtures.Faces.Where(p => p.Split == split), workers);
        void Row(string what, string target, Func<SurfaceTally, string> of) => text.Append($"| {what} | {target} | {of(test)} | {of(choose)} |\n");
    }

    private static string List(IReadOnlyList<string> names) => names.Count == 0 ? "none" : string.Join(", ", names);

    private static string Of((int Found, int All) part) => part.All == 0 ? "none there" : string.Create(CultureInfo.InvariantCulture, $"{part.Found} of {part.All} ({100.0 * part.Found / part.All:0} %)");

    private static string PerFace(int count, SurfaceTally t) => string.Create(CultureInfo.InvariantCulture, $"{count / (double)Math.Max(1, t.Pictures - t.Refused):0.00}");
}
