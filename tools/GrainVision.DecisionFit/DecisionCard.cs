using System.Globalization;
using GrainVision.Measuring.Surfaces;

namespace GrainVision.DecisionFit;

/// <summary>What stands beside the decision: what it was fitted to, what holds, and what it does on surfaces that it never saw.</summary>
internal static class DecisionCard
{
    public static string Write(SurfaceDecision d, IReadOnlyList<(RiskControl.Chosen Level, double Clear)> levels, Figures figures, IReadOnlyList<SurfaceRow> rows)
    {
        int Surfaces(Use use, bool drawn) => rows.Count(r => r.Surface.Use == use && r.Surface.Drawn == drawn);
        string Percent(double share) => (100 * share).ToString("0.##", CultureInfo.InvariantCulture) + " %";
        var drawn = rows.Where(r => r.Surface.Use == Use.Figures && r.Surface.Drawn).ToList();
        return $"""
            # Decision on a surface

            Written by `dotnet run -c Release --project tools/GrainVision.DecisionFit`: from drawn surfaces and fixtures/surfaces. Network {d.Network[..16]}.

            - Trees: grown on {Surfaces(Use.Trees, true)} drawn and {Surfaces(Use.Crossed, false)} real surfaces. Factor on logarithms {d.Factor.ToString(CultureInfo.InvariantCulture)}.
            - A mark is asked about from a probability of {Percent(d.AskFrom)} on. Fitted to {Surfaces(Use.Decision, true)} drawn and those real surfaces, each real one judged by trees that
              were not grown on its half of the boards; {d.Blemished} of them with a blemish
              that the photo resolves; on {d.CalledClear} of those none of its blemishes is asked about.
            - What holds ("Learn then Test", arXiv:2110.01052): with {Percent(1 - d.Delta)} confidence at most {Percent(d.Alpha)} of surfaces with a resolved blemish are called clear, for surfaces drawn like those
              that it was fitted to, on average over kinds. It does not hold kind by kind, nor for wood and photos of another sort, nor for what the photo does not resolve: a mark
              narrower than a pixel, or whose contrast, as blur leaves it, is under a tenth. Stains are asked about from the same threshold, but no promise is made: faint ones are missed.

            Levels that can be held, each tested at a fifth of the {Percent(d.Delta)} so that it holds whichever is taken; taken is the strictest that leaves half of the clear
            surfaces without a question:

            | at most called clear | a mark is asked about from | clear surfaces without a question |
            |---|---|---|
            {string.Join("\n", levels.Select(l => $"| {Percent(l.Level.Alpha)} | {Percent(l.Level.AskFrom)} | {Percent(l.Clear)} |"))}

            ## Surfaces that nothing was fitted to

            {figures.Markdown("Drawn, as a seed gives them: faces", [.. drawn.Where(r => r.Surface.View == Grading.Findings.View.Face)])}
            {figures.Markdown("Drawn, as a seed gives them: ends", [.. drawn.Where(r => r.Surface.View == Grading.Findings.View.End)])}
            {figures.Markdown("Real sawn faces, split test", [.. rows.Where(r => r.Surface.Use == Use.Figures && !r.Surface.Drawn)])}

            ## Surfaces that the decision was fitted to

            {figures.Markdown("Drawn, every kind about as often", [.. rows.Where(r => r.Surface.Use == Use.Decision && r.Surface.Drawn)])}
            {figures.Markdown("Real sawn faces, split choose (the trees were grown on them too)", [.. rows.Where(r => r.Surface.Use == Use.Crossed)])}
            """.ReplaceLineEndings("\n");
    }
}
