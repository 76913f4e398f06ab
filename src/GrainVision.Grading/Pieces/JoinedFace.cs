using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Grading.Verdicts;

namespace GrainVision.Grading.Pieces;

/// <summary>All photos of one face, side by side along the piece.</summary>
/// <param name="Surface">Which face.</param>
/// <param name="Photos">By station.</param>
/// <param name="Joined">What they say together, as the measurement of one long photo of the face; places are stations.</param>
/// <param name="NoBlemishSearch">Stretches that no photo was searched for blemishes in.</param>
/// <param name="NoGrain">Stretches of which no photo gives the slope.</param>
internal sealed record JoinedFace(
    Surface Surface, IReadOnlyList<PlacedMeasurement> Photos, Measurement Joined, IReadOnlyList<Stretch> NoBlemishSearch, IReadOnlyList<Stretch> NoGrain)
{
    /// <summary>Photo that holds the steepest window.</summary>
    internal PlacedMeasurement? SteepestPhoto { get; init; }

    internal static JoinedFace From(
        PieceGeometry geometry, Surface surface, string? species, IReadOnlyList<PlacedMeasurement> photos, IReadOnlyList<PieceMark> marks, Measured? ringAngleToFace)
    {
        var whole = new Stretch(0, geometry.LengthMm);
        var searched = photos.Where(p => CannotSayReasons.Find(p.Measurement, CannotSayTopic.Blemishes) is null).ToList();
        var grained = photos.Where(p => ShowsGrain(p, ringAngleToFace)).ToList();
        var steepest = grained.MaxBy(p => SlopeJudge.Steepest(p.Measurement.Grain!, out _).High);
        var first = photos[0].Measurement;
        // What another photo of the same stretch shows is no gap: gaps are told by stretch, not by photo.
        IEnumerable<CannotSay> cannot = photos.SelectMany(p => p.Measurement.CannotSay)
            .Where(c => c.What is not (CannotSayTopic.Blemishes or CannotSayTopic.Grain)
                || (c.What == CannotSayTopic.Blemishes ? searched.Count == 0 : grained.Count == 0));
        if (grained.Count == 0 && photos.Any(p => p.Measurement.Grain is not null))
            cannot = cannot.Append(WrongBasis(surface, ringAngleToFace));
        var joined = first with
        {
            Id = "",
            Species = species,
            Scale = photos.Select(p => p.Measurement.Scale).MaxBy(s => RelativeHalf(s.PixelsPerMm))!,
            Size = Size(geometry, photos),
            Grain = grained.Count == 0 ? null : Grain(grained, steepest!),
            Blemishes = [.. marks.Select(m => m.Finding)],
            CannotSay = [.. cannot.Distinct()],
            Warnings = [],
            Verdict = null,
        };
        return new JoinedFace(surface, photos, joined, Stretch.Gaps(whole, Shown(searched)), Stretch.Gaps(whole, Shown(grained)))
        {
            SteepestPhoto = steepest,
        };

        IEnumerable<Stretch> Shown(IEnumerable<PlacedMeasurement> some) => some.Select(geometry.Shown).OfType<Stretch>();
    }

    /// <summary>
    /// False also where ring lines were read on a face that the ends say is not radial: those show a section of the growth layers, not
    /// the fibres (ANC-19 2.3206).
    /// </summary>
    internal static bool ShowsGrain(PlacedMeasurement photo, Measured? ringAngleToFace) =>
        photo.Measurement.Grain is { } grain && CannotSayReasons.Find(photo.Measurement, CannotSayTopic.Grain) is null
        && !(grain.Basis == GrainBasis.RingLines && ringAngleToFace is { } angle && angle.High < CutClass.QuarterFromDeg);

    private static CannotSay WrongBasis(Surface surface, Measured? angle) => new(
        CannotSayTopic.Grain,
        $"{PieceSurfaces.From(surface)} was read from ring lines, but the ends show the rings at {angle?.Value:0}° to it, where ring lines do not show the fibres",
        "Find the fibre direction on this face by hand: free-flowing ink, a scribe or a split.");

    /// <summary>
    /// Overall slope as the mean by length; the worst window, and the outer eighths, of all photos together. A photo that stands upside
    /// down keeps the sign of its slope, since along and across both change.
    /// </summary>
    private static GrainFinding Grain(IReadOnlyList<PlacedMeasurement> photos, PlacedMeasurement steepest)
    {
        var weights = photos.Select(p => p.Measurement.Size?.FirstSideMm.Value is > 0 and var mm ? mm : 1).ToList();
        var slopes = photos.Select((p, i) => (Slope: p.Measurement.Grain!.Slope, Weight: weights[i] / weights.Sum())).ToList();
        var overall = new Measured(
            slopes.Sum(s => s.Weight * s.Slope.Value), slopes.Sum(s => s.Weight * s.Slope.Low), slopes.Sum(s => s.Weight * s.Slope.High), slopes.Min(s => s.Slope.Level));
        var outer = photos.Select(p => p.Measurement.Grain!.OuterEighths).ToList();
        return new GrainFinding(
            overall,
            OneIn.From(overall),
            Steepest([.. photos.Select(p => p.Measurement.Grain!.WorstWindow)]),
            photos.All(p => p.Measurement.Grain!.Basis == GrainBasis.FibreStreaks) ? GrainBasis.FibreStreaks : GrainBasis.RingLines,
            [])
        {
            WorstWindowCentre = steepest.Measurement.Grain!.WorstWindowCentre,
            OuterEighths = outer.TrueForAll(o => o is not null) ? Steepest([.. outer.Select(o => o!.Value)]) : null,
        };
    }

    /// <summary>Greatest steepness, low end and high end; unusable where one of them is. The sign is that of the steepest.</summary>
    private static Measured Steepest(IReadOnlyList<Measured> slopes)
    {
        if (!slopes.All(GuardedAcceptance.IsUsable))
            return default;
        if (slopes.Count == 1)
            return slopes[0];
        var steep = slopes.Select(s => s.Magnitude()).ToList();
        var all = new Measured(steep.Max(s => s.Value), steep.Max(s => s.Low), steep.Max(s => s.High), steep.Min(s => s.Level));
        return slopes.MaxBy(s => Math.Abs(s.Value)).Value < 0 ? all.Scale(-1) : all;
    }

    private static SectionSize? Size(PieceGeometry geometry, IReadOnlyList<PlacedMeasurement> photos)
    {
        var widths = photos.Select(p => p.Measurement.Size?.SecondSideMm).OfType<Measured>().Where(GuardedAcceptance.IsUsable).ToList();
        return widths.Count == 0 ? null : new SectionSize(
            Measured.Exact(geometry.LengthMm),
            new Measured(widths.Average(w => w.Value), widths.Min(w => w.Low), widths.Max(w => w.High), widths.Min(w => w.Level)));
    }

    private static double RelativeHalf(Measured m) => GuardedAcceptance.IsUsable(m) && m.Value > 0 ? (m.High - m.Low) / m.Value : double.PositiveInfinity;
}
