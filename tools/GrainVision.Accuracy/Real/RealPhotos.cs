using System.Globalization;
using System.Text;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Grading.Verdicts;

namespace GrainVision.Accuracy.Real;

/// <summary>Real photos of fixtures/photos with known facts.</summary>
internal static class RealPhotos
{
    /// <summary>x of the clear boundaries on the line y = 209 of ring-closeup.png, px, counted by eye (fixtures/registry.json); two faint ones more.</summary>
    private static readonly double[] ClearRings = [70, 130, 193, 240, 286, 407, 440, 478, 519, 558, 592, 624, 647];
    private static readonly double[] FaintRings = [324, 362];

    /// <summary>8 px: eye's tolerance of 4 and boundaries that lean where the path runs beside the line.</summary>
    private const double RingNearPx = 8;

    /// <summary>6 px: frame of a plate that may show beside the wood.</summary>
    private const double InsetPx = 6;

    public static Subject RingCloseup { get; } = new("ring-closeup", "photos/ring-closeup.png", View.End, PictureChange.Room(0, 0, 679, 416), 20, null);

    /// <summary>One board of the stack: sides by the eye 88 x 20 mm, so about 1.7 px/mm.</summary>
    private static readonly PointPx[] Board = [new(490, 341), new(638, 344), new(638, 378), new(490, 375)];

    /// <summary>What is found of the clear and of the faint rings, and how many boundaries are found that the eye does not see.</summary>
    public static (int Clear, int Faint, int Invented)? Rings(RealFixtures fixtures)
    {
        var m = RealJob.Run(fixtures.Bytes(RingCloseup.File), View.End, RealPicture.Box(0, 0, 679, 416), 20).Found;
        if (m?.Rings is not { } rings)
            return null;
        bool Found(double x) => rings.Boundaries.Any(b => Math.Abs(b.X - x) <= RingNearPx);
        return (ClearRings.Count(Found), FaintRings.Count(Found), rings.Boundaries.Count(b => !ClearRings.Concat(FaintRings).Any(x => Math.Abs(b.X - x) <= RingNearPx)));
    }

    public static string Table(RealFixtures fixtures, int workers)
    {
        var text = new StringBuilder("| photo | known | answer |\n|---|---|---|\n");
        var rings = Rings(fixtures);
        text.Append(CultureInfo.InvariantCulture, $"| ring-closeup.png | 13 clear and 2 faint rings by eye | {(rings is { } r ? $"{r.Clear} of 13 clear, {r.Faint} of 2 faint, {r.Invented} that the eye does not see" : "cannot say")} |\n");
        var board = RealJob.Run(fixtures.Bytes("photos/board-ends.jpg"), View.End, Board, 1.7).Found;
        text.Append(CultureInfo.InvariantCulture, $"| board-ends.jpg, one board of 34 px | 9 to 11 rings by eye, angle about 50°, pith outside | {Say(board)} |\n\n");

        var answers = new (Measurement? Plain, Measurement? Told)[fixtures.Sections.Count];
        Parallel.For(0, answers.Length, new ParallelOptions { MaxDegreeOfParallelism = workers }, i =>
        {
            var p = fixtures.Sections[i];
            var bytes = fixtures.Bytes(p.File);
            answers[i].Plain = RealJob.Run(bytes, View.Face, p.WoodOutline(InsetPx), RealJob.SectionPitch).Found;
            answers[i].Told = p.QuarterSawn ? RealJob.Run(bytes, View.Face, p.WoodOutline(InsetPx), RealJob.SectionPitch, RealJob.QuarterSawnDeg).Found : answers[i].Plain;
        });
        text.Append("| section | of | slope, degrees, ring angle untold | told 85° where quarter-sawn | marks asked about | surface |\n|---|---|---|---|---|---|\n");
        foreach (var (p, i) in fixtures.Sections.Select((p, i) => (p, i)))
        {
            var (plain, told) = answers[i];
            text.Append($"| {p.Name["face-".Length..]} | {(p.Clear ? "clear" : "3 open cracks")} | {Slope(plain)} | {(p.QuarterSawn ? Slope(told) : "")} | {Marks(plain)} | {plain?.Surface?.Answer.ToString().ToLowerInvariant() ?? "-"} |\n");
        }

        var clear = fixtures.Sections.Select((p, i) => (p, i)).Where(x => x.p.Clear).ToList();
        var fresh = clear.Where(x => x.i % 2 == 1).ToList();
        int WithoutMark(List<(RealPicture, int)> of) => of.Count(x => answers[x.Item2].Plain?.Blemishes.Count == 0);
        text.Append(CultureInfo.InvariantCulture, $"\nSlope given on {answers.Count(a => a.Plain?.Grain is not null)} of {answers.Length} with the ring angle untold, on {answers.Count(a => a.Told?.Grain is not null)} told ");
        text.Append(CultureInfo.InvariantCulture, $"(target 14), {answers.Count(a => a.Told?.Grain is { } g && Half(g) <= 1)} of them to within 1° by their own interval. ");
        text.Append(CultureInfo.InvariantCulture, $"Clear sections without a mark: {WithoutMark(clear)} of {clear.Count}; of the {fresh.Count} that the surface model was never taught on {WithoutMark(fresh)}. ");
        var accepted = fixtures.Sections.Where((_, i) => Accepts(answers[i].Plain) || Accepts(answers[i].Told)).Select(p => p.Name).ToList();
        text.Append($"Accepted by the spar book: {(accepted.Count == 0 ? "none" : string.Join(", ", accepted))}. ");
        text.Append($"The birch: {Birch(fixtures, answers)}.\n");
        return text.ToString();
    }

    private static bool Accepts(Measurement? m) => m?.Verdict?.Outcome == VerdictOutcome.Accept;

    private static string Birch(RealFixtures fixtures, (Measurement? Plain, Measurement? Told)[] answers)
    {
        var tally = new SurfaceTally();
        for (var i = 0; i < answers.Length; i++)
        {
            if (!fixtures.Sections[i].Clear)
                tally.Add(fixtures.Sections[i], answers[i].Plain);
        }

        var (found, all) = tally.Of("crack along the grain");
        return string.Create(CultureInfo.InvariantCulture, $"{found} of {all} open cracks found, {tally.CracksNamed} named with p >= 0.5, {tally.FalseKinds.Count} false marks");
    }

    private static string Say(Measurement? m)
    {
        if (m is null)
            return "refused";
        var rings = m.Rings is { } r ? string.Create(CultureInfo.InvariantCulture, $"{r.Count} rings") : "rings: cannot say";
        return m.RingAngle is { } a
            ? string.Create(CultureInfo.InvariantCulture, $"{rings}, angle {a.Degrees.Value:0} ({a.Degrees.Low:0} to {a.Degrees.High:0})°, pith {(a.Pith is not { } pith ? "not told" : pith.Boxed ? "boxed" : "outside")}")
            : rings;
    }

    private static double Half(GrainFinding grain)
    {
        var deg = Score.InDegrees(grain.Slope);
        return (deg.High - deg.Low) / 2;
    }

    private static string Slope(Measurement? m)
    {
        if (m?.Grain is not { } grain)
            return "-";
        var deg = Score.InDegrees(grain.Slope);
        return string.Create(CultureInfo.InvariantCulture, $"{deg.Value:+0.0;-0.0;0.0} ({deg.Low:0.0} to {deg.High:0.0}) {grain.Basis}");
    }

    private static string Marks(Measurement? m) => m is null ? "refused" : m.Blemishes.Count == 0 ? "0" : string.Create(
        CultureInfo.InvariantCulture, $"{m.Blemishes.Count}: {string.Join(", ", m.Blemishes.GroupBy(b => BlemishWords.From(b.Kind)).Select(g => g.Count() == 1 ? g.Key : $"{g.Count()} {g.Key}"))}");
}
