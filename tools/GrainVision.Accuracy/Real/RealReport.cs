using System.Globalization;
using System.Text;
using GrainVision.Grading.Findings;

namespace GrainVision.Accuracy.Real;

/// <summary>The table of real pictures in RESULTS.md.</summary>
internal static class RealReport
{
    /// <summary>Every fourth face of the split: about ten.</summary>
    private const int EveryFace = 4;

    public static int Run(AccuracyOptions options, TextWriter output, TextWriter errors)
    {
        var fixtures = new RealFixtures();
        var workers = (int)options.Number("workers", 2);
        var text = new StringBuilder();
        text.Append("Every picture goes through the whole product (decode, straighten, read, judge by the spar book) with its outline and pitch told, since no source states a scale.\n");
        text.Append("\n**Photos with known facts** (`fixtures/photos`; plates at 8 px/mm by assumption)\n\n").Append(RealPhotos.Table(fixtures, workers));
        errors.WriteLine("photos done");
        text.Append("\n**Sawn faces** (`fixtures/surfaces`, 6 px/mm by assumption). Found: a reported mark touches the label (of a crack: marks lie within 4 px of a quarter of its length). False: a reported mark touches no label of a blemish, sure or not.\n\n");
        text.Append(RealFaces.Table(fixtures, workers));
        errors.WriteLine("faces done");
        text.Append(ConsistencyTable(fixtures, workers));
        output.WriteLine(text);
        return options.Text("write-results") is { } results ? ResultsFile.Write(results, "real", text.ToString().TrimEnd(), errors) : 0;
    }

    /// <summary>Sections with their ring angle told where they are quarter-sawn: the wood inside stays in the picture however it is turned.</summary>
    public static IEnumerable<Subject> Sections(RealFixtures fixtures) => fixtures.Sections.Select(p => new Subject(
        p.Name, p.File, View.Face, PictureChange.Room(p.Wood![0] + 2, p.Wood[1] + 2, p.Wood[2] - 3, p.Wood[3] - 3), RealJob.SectionPitch, p.QuarterSawn ? RealJob.QuarterSawnDeg : null));

    private static string ConsistencyTable(RealFixtures fixtures, int workers)
    {
        var faces = fixtures.Faces.Where(p => p.Split == "test").Where((_, i) => i % EveryFace == 0)
            .Select(p => new Subject(p.Name, p.File, View.Face, PictureChange.Room(p.Wood![0], p.Wood[1], p.Wood[2] - 1, p.Wood[3] - 1), RealJob.FacePitch, null)).ToList();
        List<Subject> subjects = [.. Sections(fixtures), .. faces, RealPhotos.RingCloseup];
        var tallies = Consistency.Run(fixtures, subjects, PictureChange.All, workers);
        var text = new StringBuilder();
        text.Append(CultureInfo.InvariantCulture, $"\n**Self-consistency**: {subjects.Count - faces.Count - 1} sections, {faces.Count} sawn faces of the test split and one end, each against itself. What is left after what geometry says was taken off; n given before and after.\n\n");
        text.Append("| change | slope: n (lost, new) | half within | 90 % within | worst | 95 % intervals meet | marks found again | new marks | ring angle | rings per inch |\n|---|---|---|---|---|---|---|---|---|---|\n");
        foreach (var t in tallies)
        {
            text.Append(CultureInfo.InvariantCulture, $"| {t.Name} | {t.Slope.Count} ({t.SlopeLost}, {t.SlopeNew}) | {Within(t.Slope, 0.5)} | {Within(t.Slope, 0.9)} | {Within(t.Slope, 1)} | {Meet(t.Slope)} ");
            text.Append(CultureInfo.InvariantCulture, $"| {t.Marks.Again} of {t.Marks.Old} | {t.Marks.New} | {One(t.RingAngle, "°")} | {One(t.RingsPerInch, " %")} |\n");
        }

        var sections = tallies.Take(4).Select(t => (t.Slope, t.LaterSlope)).ToList();
        text.Append("\nSections turned by 2° and 4° both ways (target 90 % within 0.25°): ");
        text.Append(Turned([.. sections.SelectMany(t => t.Slope)])).Append(" against the picture as it is. Sections that give none as they are, their turned pictures against each other: ");
        text.Append(Turned([.. sections.SelectMany(t => t.LaterSlope)])).Append(". ");
        var apart = tallies.SelectMany(t => t.Slope.Concat(t.LaterSlope).Where(s => !s.Overlap)
            .Select(s => string.Create(CultureInfo.InvariantCulture, $"{s.Subject} {t.Name} {s.Difference:+0.0;-0.0}°"))).ToList();
        var lost = tallies.SelectMany(t => t.CracksLost.Select(s => $"{s} {t.Name}")).ToList();
        text.Append($"Marks named a crack that a change loses: {(lost.Count == 0 ? "none" : string.Join("; ", lost))}. ");
        text.Append($"Intervals that do not meet under any change, so that one of them is wrong: {(apart.Count == 0 ? "none" : string.Join("; ", apart))}.\n");
        return text.ToString();
    }

    private static string Within(List<Shift> shifts, double share) => shifts.Count == 0 ? "-" : string.Create(
        CultureInfo.InvariantCulture, $"{shifts.Select(s => Math.Abs(s.Difference)).Order().ElementAt(Math.Clamp((int)Math.Ceiling(share * shifts.Count) - 1, 0, shifts.Count - 1)):0.00}°");

    private static string Turned(IReadOnlyList<Shift> all)
    {
        List<Shift> shifts = [.. all.Where(s => s.Subject.StartsWith("face-", StringComparison.Ordinal))];
        return string.Create(
            CultureInfo.InvariantCulture,
            $"{shifts.Select(s => s.Subject).Distinct().Count()} sections, {shifts.Count} pairs, half within {Within(shifts, 0.5)}, 90 % within {Within(shifts, 0.9)}, worst {Within(shifts, 1)}, intervals meet {Meet(shifts)}");
    }

    private static string Meet(List<Shift> shifts) => shifts.Count == 0 ? "-" : string.Create(CultureInfo.InvariantCulture, $"{shifts.Count(s => s.Overlap)} of {shifts.Count}");

    /// <summary>Of the one end.</summary>
    private static string One(List<Shift> shifts, string unit) => shifts.Count == 0 ? "not given" : string.Create(
        CultureInfo.InvariantCulture, $"{shifts[0].Difference:+0.00;-0.00;0.00}{unit}{(shifts[0].Overlap ? "" : ", intervals apart")}");
}
