using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Measuring.Intake;

namespace GrainVision.Accuracy.Real;

/// <summary>A real surface that is measured as it is and changed.</summary>
internal sealed record Subject(string Name, string File, View View, IReadOnlyList<PointPx> Outline, double Pitch, double? RingAngleDeg);

/// <summary>One quantity of one subject before and after one change.</summary>
/// <param name="Subject">Its name.</param>
/// <param name="Difference">New value less the one that geometry expects, in the quantity's unit.</param>
/// <param name="Overlap">The new 95 % interval meets the expected one.</param>
internal sealed record Shift(string Subject, double Difference, bool Overlap);

/// <summary>What one change did to the subjects.</summary>
internal sealed class ChangeTally(string name)
{
    public string Name { get; } = name;

    /// <summary>Degrees.</summary>
    public List<Shift> Slope { get; } = [];

    /// <summary>The same where the picture as it is gave no slope: against the first changed one that did.</summary>
    public List<Shift> LaterSlope { get; } = [];

    /// <summary>Slopes given of the picture as it is and not of the changed one, and the other way round.</summary>
    public int SlopeLost { get; set; }

    public int SlopeNew { get; set; }

    /// <summary>Degrees.</summary>
    public List<Shift> RingAngle { get; } = [];

    /// <summary>Percent of the old value.</summary>
    public List<Shift> RingsPerInch { get; } = [];

    /// <summary>Marks of the picture as it is; how many of them the changed one has too; how many only the changed one has.</summary>
    public (int Old, int Again, int New) Marks { get; set; }

    /// <summary>Subjects with a mark named a crack that the changed picture has no mark for.</summary>
    public List<string> CracksLost { get; } = [];
}

/// <summary>Self-consistency: needs no truth, only geometry.</summary>
internal static class Consistency
{
    /// <summary>2 px: two marks of one place touch, straightening apart.</summary>
    private const double NearPx = 2;

    /// <summary>Measures each subject as it is and under every change.</summary>
    /// <param name="fixtures">The pictures.</param>
    /// <param name="subjects">What is measured.</param>
    /// <param name="changes">What is done to each.</param>
    /// <param name="workers">Subjects at a time.</param>
    public static IReadOnlyList<ChangeTally> Run(RealFixtures fixtures, IReadOnlyList<Subject> subjects, IReadOnlyList<PictureChange> changes, int workers)
    {
        var tallies = changes.Select(c => new ChangeTally(c.Name)).ToList();
        Parallel.ForEach(subjects, new ParallelOptions { MaxDegreeOfParallelism = workers }, subject =>
        {
            var bytes = fixtures.Bytes(subject.File);
            if (RealJob.Run(bytes, subject.View, subject.Outline, subject.Pitch, subject.RingAngleDeg).Found is not { } before)
                return;
            using var photo = PhotoIntake.Decode(bytes, IntakeLimits.Default, CancellationToken.None).Found!;
            Measured? later = null;
            for (var i = 0; i < changes.Count; i++)
            {
                var changed = changes[i].Apply(photo.Bgr, subject.Outline, subject.Pitch);
                var after = RealJob.Run(changed.File, subject.View, changed.Outline, changed.Pitch, subject.RingAngleDeg).Found;
                if (before.Grain is null && after?.Grain is { } grain)
                {
                    var now = Score.InDegrees(grain.Slope);
                    if (later is { } first)
                    {
                        lock (tallies)
                            tallies[i].LaterSlope.Add(Turned(subject.Name, changes[i], first, now));
                    }

                    later ??= changes[i].Back(now);
                }

                lock (tallies)
                    Compare(tallies[i], subject, changes[i], changed, before, after);
            }
        });
        foreach (var t in tallies)
        {
            // The order of the workers must not show.
            t.Slope.Sort((a, b) => string.CompareOrdinal(a.Subject, b.Subject));
            t.CracksLost.Sort(StringComparer.Ordinal);
            t.LaterSlope.Sort((a, b) => string.CompareOrdinal(a.Subject, b.Subject));
        }

        return tallies;
    }

    private static void Compare(ChangeTally tally, Subject subject, PictureChange change, ChangedPicture changed, Measurement before, Measurement? after)
    {
        if (before.Grain is { } g0 && after?.Grain is { } g1)
        {
            tally.Slope.Add(Turned(subject.Name, change, Score.InDegrees(g0.Slope), Score.InDegrees(g1.Slope)));
        }
        else if (before.Grain is not null)
            tally.SlopeLost++;
        else if (after?.Grain is not null)
            tally.SlopeNew++;

        if (before.RingAngle is { } r0 && after?.RingAngle is { } r1)
        {
            // Which way the rings lean is not told, so the nearer of both ways counts.
            var moves = new[] { change.RingAngleMoves, -change.RingAngleMoves }.MinBy(d => Math.Abs(r1.Degrees.Value - Fold(r0.Degrees.Value + d)));
            tally.RingAngle.Add(new Shift(
                subject.Name, r1.Degrees.Value - Fold(r0.Degrees.Value + moves), Meet(r1.Degrees, Fold(r0.Degrees.Low + moves), Fold(r0.Degrees.High + moves))));
        }

        if (before.Rings is { } n0 && after?.Rings is { } n1)
        {
            tally.RingsPerInch.Add(new Shift(
                subject.Name, 100 * ((n1.PerInch.Value / n0.PerInch.Value) - 1), Meet(n1.PerInch, n0.PerInch.Low, n0.PerInch.High)));
        }

        var oldMarks = before.Blemishes.Select(m => RealJob.Box(m.Outline.Select(changed.Map))).ToList();
        var newMarks = (after?.Blemishes ?? []).Select(m => RealJob.Box(m.Outline)).ToList();
        var (o, again, only) = tally.Marks;
        if (before.Blemishes.Where(RealJob.IsCrack).Any(c => !newMarks.Any(n => RealJob.Touch(RealJob.Box(c.Outline.Select(changed.Map)), n, NearPx))))
            tally.CracksLost.Add(subject.Name);
        tally.Marks = (
            o + oldMarks.Count, again + oldMarks.Count(m => newMarks.Any(n => RealJob.Touch(m, n, NearPx))),
            only + newMarks.Count(n => !oldMarks.Any(m => RealJob.Touch(m, n, NearPx))));
    }

    private static Shift Turned(string name, PictureChange change, Measured old, Measured now) =>
        new(name, now.Value - change.Slope(old.Value), Meet(now, change.Slope(old.Low), change.Slope(old.High)));

    /// <summary>An angle to a face lies between 0 and 90 degrees.</summary>
    private static double Fold(double deg) => deg > 90 ? 180 - deg : Math.Abs(deg);

    /// <summary>The ends of the expected interval come in either order.</summary>
    private static bool Meet(Measured now, double end, double other) => now.Low <= Math.Max(end, other) && now.High >= Math.Min(end, other);
}
