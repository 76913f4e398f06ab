using System.Diagnostics;
using GrainVision.Grading.Deliveries;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Refusals;
using GrainVision.Grading.Rules;
using GrainVision.Grading.Verdicts;
using GrainVision.Measuring.Intake;
using GrainVision.Measuring.Scale.Card;
using GrainVision.Measuring.Uncertainty;
using OpenCvSharp;

namespace GrainVision.Measuring;

/// <summary>A photo decoded once: its piece card is read and its wood measured from the same pixels, and its cards are sought once for both.</summary>
public sealed class PhotoInHand : IDisposable
{
    private readonly UprightPhoto _photo;
    private readonly TimeSpan _decoding;
    private readonly CardFindings? _known;
    private CardSearch? _cards;

    static PhotoInHand()
    {
        // One thread: jobs run side by side anyway, and some OpenCV filters round differently when they split their work.
        Cv2.SetNumThreads(1);
    }

    private PhotoInHand(UprightPhoto photo, TimeSpan decoding, CardFindings? known) => (_photo, _decoding, _known) = (photo, decoding, known);

    /// <summary>Decodes a photo.</summary>
    /// <param name="photoBytes">The file as received; only managed code decodes it.</param>
    /// <param name="limits">What it may cost.</param>
    /// <param name="cancel">Looked at while decoding.</param>
    /// <param name="known">Cards found in the same photo before; null where it was not searched.</param>
    /// <returns>The photo, which the caller disposes, or a refusal of <see cref="PhotoIntake"/>.</returns>
    /// <exception cref="OperationCanceledException"><paramref name="cancel"/> was asked for.</exception>
    public static Outcome<PhotoInHand> Open(ReadOnlyMemory<byte> photoBytes, IntakeLimits limits, CancellationToken cancel, CardFindings? known = null)
    {
        cancel.ThrowIfCancellationRequested();
        var started = Stopwatch.GetTimestamp();
        return PhotoIntake.Decode(photoBytes, limits, cancel).TryGet(out var photo, out var refusal)
            ? new PhotoInHand(photo, Stopwatch.GetElapsedTime(started), known)
            : refusal;
    }

    /// <summary>What the piece card says, or a refusal of <see cref="PieceCardReader"/>.</summary>
    public Outcome<PieceCard> ReadPieceCard(CancellationToken cancel) => PieceCardReader.Find(Cards(), cancel);

    /// <summary>Every card of the photo, to be kept for measuring it later.</summary>
    public CardFindings FindCards(CancellationToken cancel) => Cards().Findings(cancel);

    /// <summary>Measures, judges, and shows the photo to whoever draws. A bad photo or request is a refusal, never an exception.</summary>
    /// <param name="request">What the caller says of the photo.</param>
    /// <param name="ruleBook">Book to judge by; null for no verdict.</param>
    /// <param name="view">Draws the picture; its time counts as stage <c>picture</c>.</param>
    /// <param name="cancel">Looked at between stages.</param>
    /// <exception cref="OperationCanceledException"><paramref name="cancel"/> was asked for.</exception>
    public Outcome<Measurement> Measure(MeasuringRequest request, RuleBook? ruleBook, PhotoViewer view, CancellationToken cancel) =>
        Measure(request, ruleBook, view, IntervalCalibration.Embedded, cancel);

    /// <summary>The same under another calibration of intervals, for calibrating; null draws nothing.</summary>
    internal Outcome<Measurement> Measure(MeasuringRequest request, RuleBook? ruleBook, PhotoViewer? view, IntervalCalibration calibration, CancellationToken cancel)
    {
        ArgumentNullException.ThrowIfNull(request);
        var clock = new StageClock(cancel);
        clock.Note("intake", _decoding);
        if (!MeasuringPipeline.Run(_photo, _known is null ? _cards : Cards(), request, clock).TryGet(out var measurement, out var refusal))
            return refusal;
        measurement = IntervalRecalibration.Apply(measurement, calibration, request.RingAngleDegrees is not null);
        measurement = measurement with { Warnings = [.. measurement.Warnings, .. Ignored(request)] };
        if (ruleBook is not null && measurement.CheckTarget is null)
            measurement = measurement with { Verdict = clock.Run("verdict", () => PhotoJudge.GiveVerdict(measurement, ruleBook)) };
        if (view is not null)
            clock.Run("picture", () => view(_photo.Pixels, measurement));
        return measurement with { TimingsMs = clock.TimingsMs };
    }

    public void Dispose()
    {
        _cards?.Dispose();
        _photo.Dispose();
    }

    private static IEnumerable<Warning> Ignored(MeasuringRequest request)
    {
        foreach (var member in request.Unknown?.Keys ?? [])
            yield return new Warning(WarningCode.MemberIgnored, $"The request's member '{member}' is not known and was ignored.") { Member = member };
        foreach (var part in request.IgnoredParts)
            yield return new Warning(WarningCode.FormPartIgnored, $"The request's member 'form part {part}' is not known and was ignored.") { Member = part };
    }

    private CardSearch Cards() => _cards ??= new CardSearch(_photo, _known);
}
