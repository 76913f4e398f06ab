using System.Globalization;
using System.Text;
using GrainVision.Grading.Findings;
using GrainVision.Measuring.Surfaces;

namespace GrainVision.DecisionFit;

/// <summary>What trees and decision make of surfaces that neither was fitted to.</summary>
internal sealed class Figures(RegionTrees trees)
{
    /// <summary>3 mm: knots from this diameter on must be found (design.md section 8).</summary>
    private const double LeastKnotMm = 3;

    public string Markdown(string name, IReadOnlyList<SurfaceRow> rows)
    {
        var text = new StringBuilder();
        var (falseMarks, falseCracks, clear, clearSilent) = (0, 0, 0, 0);
        var (all, resolved, falseOf) = (new SortedDictionary<string, (int Found, int All)>(StringComparer.Ordinal), new SortedDictionary<string, (int Found, int All)>(StringComparer.Ordinal), new SortedDictionary<string, int>(StringComparer.Ordinal));
        var (sizes, missed) = (new List<double>(), new List<string>());
        foreach (var row in rows)
        {
            var asked = Asked(row);
            foreach (var (r, p) in asked.Where(a => a.Region.Class == BlemishClasses.None))
            {
                var kind = BlemishClasses.KindOf(BlemishClasses.Likeliest(p))!.Value;
                falseMarks++;
                falseCracks += kind is BlemishKind.Check or BlemishKind.ShakeOrSplit ? 1 : 0;
                falseOf[BlemishWords.From(kind)] = falseOf.GetValueOrDefault(BlemishWords.From(kind)) + 1;
            }

            for (var k = 0; k < row.Surface.Marks.Count; k++)
            {
                var mark = row.Surface.Marks[k];
                if (mark.Kind is not { } kind)
                    continue;
                var found = asked.Any(a => a.Region.On.Contains(k));
                var word = BlemishWords.From(kind) + (BlemishKinds.IsKnot(kind) && kind != BlemishKind.PinKnotCluster && mark.DiameterMm < LeastKnotMm ? " under 3 mm" : "");
                Count(all, word, found);
                if (mark.Resolved)
                    Count(resolved, word, found);
                if (mark.Resolved && !found)
                    missed.Add($"{row.Surface.Name}: {word} {mark.DiameterMm.ToString("F1", CultureInfo.InvariantCulture)} mm{(row.Regions.Any(r => r.On.Contains(k)) ? "" : ", no region")}");
                if (BlemishKinds.IsKnot(kind) && kind != BlemishKind.PinKnotCluster && mark.DiameterMm >= LeastKnotMm && row.Surface.Drawn
                    && asked.Where(a => a.Region.Mark == k && a.Region.Found == MarkClass.Knot).Select(a => (double?)a.Region.DiameterMm).Max() is { } mm)
                    sizes.Add(mm - mark.DiameterMm);
            }

            if (row.Surface.Marks.All(m => m.Kind is null))
            {
                clear++;
                clearSilent += asked.Count == 0 ? 1 : 0;
            }
        }

        string One(double v, string format = "F3") => v.ToString(format, CultureInfo.InvariantCulture);
        text.AppendLine($"{name}: {rows.Count} surfaces; false marks a surface {One((double)falseMarks / Math.Max(1, rows.Count))} (cracks {One((double)falseCracks / Math.Max(1, rows.Count))}); clear surfaces without a question {clearSilent} of {clear}.");
        text.AppendLine($"- found of those that the photo resolves: {Words(resolved)}");
        text.AppendLine($"- found of all: {Words(all)}");
        text.AppendLine($"- false: {string.Join(", ", falseOf.Select(f => $"{f.Key} {f.Value}"))}");
        if (sizes.Count > 0)
        {
            var ordered = sizes.Select(Math.Abs).Order().ToList();
            text.AppendLine($"- diameter of {sizes.Count} knots: mean error {One(sizes.Average(), "F2")} mm, 90 % within {One(ordered[(int)(0.9 * (ordered.Count - 1))], "F2")} mm");
        }

        text.AppendLine($"- missed: {string.Join("; ", missed.Take(40))}");
        return text.ToString();
    }

    /// <summary>Regions that are asked about, with their probabilities.</summary>
    private List<(RegionCase Region, double[] P)> Asked(SurfaceRow row) =>
        [.. row.Regions.Zip(trees.Classify([.. row.Regions.Select(r => r.Features)])).Where(x => trees.Decision.Asks(x.Second))];

    private static void Count(SortedDictionary<string, (int Found, int All)> counts, string word, bool found)
    {
        var (f, a) = counts.GetValueOrDefault(word);
        counts[word] = (f + (found ? 1 : 0), a + 1);
    }

    private static string Words(SortedDictionary<string, (int Found, int All)> counts) => string.Join(", ", counts.Select(c => $"{c.Key} {c.Value.Found}/{c.Value.All}"));
}
