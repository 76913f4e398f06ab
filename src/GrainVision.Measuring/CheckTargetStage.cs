using GrainVision.Grading.Cards;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Grading.Refusals;
using GrainVision.Measuring.Geometry;
using GrainVision.Measuring.Intake;
using GrainVision.Measuring.Scale;
using GrainVision.Measuring.Scale.Card;
using GrainVision.Measuring.Section;
using OpenCvSharp;

namespace GrainVision.Measuring;

/// <summary>Which bands a sheet shows, and who says so.</summary>
/// <param name="Bands">Null for wood.</param>
/// <param name="Recognised">True where the sheet's marker says so.</param>
/// <param name="Warning">What the sender should know of it.</param>
internal sealed record SheetInPhoto(TargetBands? Bands, bool Recognised = false, Warning? Warning = null)
{
    /// <summary>No check target: wood.</summary>
    public static SheetInPhoto None { get; } = new((TargetBands?)null);
}

/// <summary>Tells a photo of the printed check target, and compares what was measured with what was printed.</summary>
internal static class CheckTargetStage
{
    /// <summary>1 %: of lengths and of rings per inch; design.md section 8 promises as much for rings per inch.</summary>
    private const double RelativeTolerance = 0.01;

    /// <summary>0.5 degrees, as design.md section 8 promises.</summary>
    private const double AngleToleranceDeg = 0.5;

    /// <summary>0.2 mm in 100 mm: what an eye reads on a steel rule, and what the scale card's own sheet asks for.</summary>
    private const double CheckLineToleranceMm = 0.2;

    private const double CheckLineMm = 100;

    /// <summary>The target in the photo, or that it shows none; the refusal is for a target that cannot be told.</summary>
    public static Outcome<SheetInPhoto> Find(UprightPhoto photo, MeasuringRequest asked, PhotoScale scale, CancellationToken cancel)
    {
        var sheet = Tell(photo, asked.CheckTarget, scale, cancel);

        // Measured as a face, a printed page would get a slope and perhaps a verdict.
        return asked.View == View.Face && sheet.Found is not { Bands: null }
            ? RefusalCatalog.CheckTargetIsAnEnd.Because("The check target shows an end's rings.")
            : sheet;
    }

    private static Outcome<SheetInPhoto> Tell(UprightPhoto photo, CheckTargetRequest? request, PhotoScale scale, CancellationToken cancel)
    {
        TargetBands? stated = request is { PitchMm: { } pitch, AngleDegrees: { } angle } ? new TargetBands(pitch, angle) : null;
        if (Marker(photo, request, scale, cancel) is { } read)
        {
            var warning = stated is not null && stated != read
                ? new Warning(WarningCode.CheckTargetDiffers, $"The sheet's marker says {read.PitchMm} mm at {read.AngleDegrees} degrees, the request {stated.PitchMm} mm at {stated.AngleDegrees}: compared with the marker.")
                : null;
            return new SheetInPhoto(read, true, warning);
        }

        if (request is null)
            return SheetInPhoto.None;
        return stated is null
            ? RefusalCatalog.CheckTargetUnknown.Because("The check target's marker cannot be read, and the request does not say what was printed.")
            : new SheetInPhoto(stated);
    }

    private static TargetBands? Marker(UprightPhoto photo, CheckTargetRequest? request, PhotoScale scale, CancellationToken cancel)
    {
        if (scale.Finding.Kind == ScaleKind.Card && scale.MmFromPx is { } seen)
            return CheckTargetReader.Read(photo, new Homography([.. seen]));
        if (request is null)
            return null;

        // The scale comes from a rule, say: the card is there all the same, and says where the marker is.
        return ScaleStage.Find(photo, new CardScale(), cancel).Found is { MmFromPx: { } card } ? CheckTargetReader.Read(photo, new Homography([.. card])) : null;
    }

    /// <summary>The measurement with the comparison, and with what the sender should know; of wood, as it is.</summary>
    public static Measurement Compare(Measurement m, SheetInPhoto sheet, SurfaceFrame frame, double? handLineMm)
    {
        if (sheet.Bands is not { } bands)
            return m;
        var sameSheet = m.Scale.Kind == ScaleKind.Card;
        var sizeAdvice = sameSheet
            ? "Block and card are on one sheet, so this is not the printer: lay the sheet flat, hold the phone parallel to it, block and card in the middle of the picture, not its corners."
            : "Printed at 100 %? Hold the sheet's check line against a steel rule. If it is right, the rule or the points of the scale were not in the sheet's plane.";
        var relative = m.Scale.PixelsPerMm.StandardUncertainty / m.Scale.PixelsPerMm.Value;
        List<CheckTargetLine> lines =
        [
            Line("blockLengthMm", CheckTargetDesign.BlockLengthMm, m.Size?.FirstSideMm ?? Measured.FromStandardUncertainty(frame.FirstSideMm, frame.FirstSideMm * relative), CheckTargetDesign.BlockLengthMm * RelativeTolerance, sizeAdvice),
            Line("blockHeightMm", CheckTargetDesign.BlockHeightMm, m.Size?.SecondSideMm ?? Measured.FromStandardUncertainty(frame.SecondSideMm, frame.SecondSideMm * relative), CheckTargetDesign.BlockHeightMm * RelativeTolerance, sizeAdvice),
            Line(
                "ringsPerInch", bands.PerInch, m.Rings?.PerInch, bands.PerInch * RelativeTolerance,
                "Come closer, in focus and without glare, at least six pixels to a band. If the block's length is off by the same share, the scale is wrong, not the rings."),
            Line(
                "ringAngleDegrees", bands.AngleDegrees, m.RingAngle?.Degrees, AngleToleranceDeg,
                "Lay the sheet flat on a board and hold the phone parallel to it; a page that bulges turns the bands."),
        ];
        if (handLineMm is { } hand)
        {
            lines.Add(Line(
                "checkLineMm", CheckLineMm, Measured.Exact(hand), CheckLineToleranceMm,
                "The printer scaled the page: print again at 100 % (\u201cactual size\u201d, no \u201cfit to page\u201d) and use no card from this print."));
        }

        var note = (sameSheet, handLineMm) switch
        {
            (true, null) => "Card and bands are on one sheet and were scaled together: a sheet printed at 97 % passes here. Only the 100 mm check line held against a steel rule shows it; state it as checkLineMm.",
            (true, _) => "Card and bands are on one sheet and were scaled together: only the check line speaks of the printing.",
            _ => "The scale comes from outside the sheet, so the lengths speak of the printing too.",
        };
        Warning[] warnings = [new(WarningCode.NotWood, "This is the printed check target, not wood: no verdict is given."), .. sheet.Warning is { } w ? [w] : Array.Empty<Warning>()];
        return m with
        {
            CheckTarget = new CheckTargetFinding(bands.PitchMm, bands.AngleDegrees, sheet.Recognised, lines.All(l => l.Ok), lines, note),
            Warnings = [.. warnings, .. m.Warnings],
        };
    }

    private static CheckTargetLine Line(string what, double printed, Measured? measured, double tolerance, string advice)
    {
        var difference = measured?.Value - printed;
        var ok = Math.Abs(difference ?? double.NaN) <= tolerance;
        var open = !ok && !(measured is { } m && (m.Low - printed > tolerance || m.High - printed < -tolerance));
        var words = measured is null ? "Not measured. " + advice : open ? "Too close to tell: the interval reaches into what is allowed. Retake, nearer and parallel. " + advice : advice;
        return new CheckTargetLine(what, printed, measured, difference, tolerance, ok, ok ? null : words) { Open = open };
    }
}
