using GrainVision.Grading.ByHand;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Questions;

namespace GrainVision.Synthesis;

/// <summary>
/// Answers questions about a piece from its truth, at the resolution of honest tools, and never from what the product measured. Of a mark it is told where the
/// picture shows it, and looks there. What its tools cannot tell it leaves open.
/// </summary>
public sealed class TruthfulInspector(KnownPiece piece)
{
    /// <summary>0.5 %: step of a moisture meter's dial; 0.1 % of a sample dried in an oven (common practice, no source).</summary>
    private const double MeterStep = 0.5;

    private const double OvenStep = 0.1;

    /// <summary>0.01 lb: step of a parcel scale.</summary>
    private const double ScaleStepLb = 0.01;

    /// <summary>0.01: specific gravity of an oven-dry sample, by weight and calliper or by immersion (common practice, no source).</summary>
    private const double GravityStep = 0.01;

    /// <summary>Half a ring: what a count along a rule with a lens can be off by (common practice, no source).</summary>
    private const double RingStep = 0.5;

    /// <summary>1 degree: step of a protractor; off by two on a sawn end (common practice, no source).</summary>
    private const double AngleStepDeg = 1;

    private const double AngleHalfDeg = 2;

    /// <summary>
    /// 0.004: a scribed line read to half a millimetre over 200 mm on each of two faces (computed: 0.5/200 on either, combined 0.0035, rounded up).
    /// </summary>
    private const double ScribeHalf = 0.004;

    private const double ScribeStep = 0.001;

    /// <summary>0.5 mm: a steel rule laid on a mark.</summary>
    private const double MarkStepMm = 0.5;

    /// <summary>2 mm: a mark of the picture is looked for so far round its rim.</summary>
    private const double NearMm = 2;

    /// <summary>1 mm: half-width of a steel tape.</summary>
    private const double TapeHalfMm = 1;

    private readonly HashSet<string> _answered = new(StringComparer.Ordinal);

    /// <summary>Findings that answer the question; empty where this inspector has nothing (more) to say to it.</summary>
    /// <param name="question">As it was asked.</param>
    /// <param name="pictures">Every photo that was measured, with its picture.</param>
    public IReadOnlyList<HandFinding> Answer(Question question, IReadOnlyList<PictureInHand> pictures)
    {
        ArgumentNullException.ThrowIfNull(question);
        ArgumentNullException.ThrowIfNull(pictures);
        // An outline is looked at as often as a photo was taken again.
        if (question.Code == QuestionCode.Outline)
            return MarkPlace.OutlinesRight(Asked(question, pictures)) ? Looks(question) : [];
        // The same again settles nothing; moisture and density are found once more by another way, a mark looked at once more by its limits.
        var again = !_answered.Add(question.Id);
        if (again && (question.Code is not (QuestionCode.Moisture or QuestionCode.Weight or QuestionCode.Mark) || !_answered.Add(question.Id + " again")))
            return [];
        return question.Code switch
        {
            QuestionCode.Moisture => [Moisture(again)],
            QuestionCode.Weight => Weight(question.Answer!),
            QuestionCode.Size => [Tape("width", piece.WideMm), Tape("thickness", piece.ThickMm), Tape("length", piece.LengthMm)],
            QuestionCode.Slope => [Slope()],
            QuestionCode.Fibres => Fibres(question, pictures),
            QuestionCode.Rings => Rings(SurfaceOf(question, pictures), question),
            QuestionCode.RingAngle => Angle(SurfaceOf(question, pictures), question),
            QuestionCode.ShowEnd => [.. Rings(question.Surface, question), .. Angle(question.Surface, question), .. Looks(question)],
            QuestionCode.Pith or QuestionCode.Cracks or QuestionCode.LookOver => Looks(question),
            QuestionCode.RuleUnit => piece.Photos.Any(p => p.Truth.Scale.Unit == SteelRuleUnit.Inch) ? [] : Looks(question),
            QuestionCode.Species => [new HandFinding { Species = piece.Species, Instrument = "end grain under the lens", By = Name }],
            QuestionCode.Mark => again ? MarkLooks(question) : [.. question.Answer!.Marks.SelectMany(m => Mark(m, pictures))],
            _ => [],
        };
    }

    /// <summary>Photos that the question has this inspector take again: all that cannot be where they are said to be, and those whose outline runs wrong.</summary>
    public static IReadOnlyList<string> TakeAgain(Question question, IReadOnlyList<PictureInHand> pictures)
    {
        ArgumentNullException.ThrowIfNull(question);
        return question.Code switch
        {
            QuestionCode.PhotoPlace => question.Photos,
            QuestionCode.Outline => [.. Asked(question, pictures).Where(p => !MarkPlace.OutlinesRight([p])).Select(p => p.Photo.Sha256)],
            _ => [],
        };
    }

    private const string Name = "Inspector (simulated)";

    private static double Round(double value, double step) => Math.Round(value / step) * step;

    private static HandFinding Value(string quantity, double value, string unit, string instrument, double? plusMinus = null) => new()
    {
        Quantity = quantity, Value = Math.Round(value, 6), Unit = unit, PlusMinus = plusMinus, Instrument = instrument, By = Name,
    };

    private HandFinding Moisture(bool again) => again
        ? Value("moisture", Round(piece.MoisturePercent, OvenStep), "%", "oven and balance") with { Method = MoistureMethod.OvenDry }
        : Value("moisture", Round(piece.MoisturePercent, MeterStep), "%", "moisture meter") with { Method = MoistureMethod.Meter, SpeciesCorrection = 0 };

    private IReadOnlyList<HandFinding> Weight(QuestionAnswer wanted) => wanted.Quantities.Contains("weight", StringComparer.Ordinal)
        ? [Value("weight", Round(piece.WeightLb, ScaleStepLb), "lb", "parcel scale")]
        : [Value("specificGravity", Round(piece.SpecificGravity, GravityStep), "1", "oven-dry sample", GravityStep)];

    private static HandFinding Tape(string quantity, double mm) => Value(quantity, Math.Round(mm), "mm", "steel tape", TapeHalfMm);

    private HandFinding Slope() => Value("combinedSlope", Round(piece.TrueSlope, ScribeStep), "tangent", "scribe on two adjacent faces", ScribeHalf);

    /// <summary>Scribes each face in question: where the lines of the picture run as the scribe does, within what the scribe can tell, says so; else enters the slope.</summary>
    private IReadOnlyList<HandFinding> Fibres(Question question, IReadOnlyList<PictureInHand> pictures)
    {
        var asked = Asked(question, pictures);
        var alike = asked.Count > 0 && asked.TrueForAll(p => p is { Measurement.Grain: { } drawn, Photo.Truth.Grain: { } true_ }
            && Math.Abs(Math.Abs(drawn.Slope.Value) - Math.Abs(true_.Slope)) <= ScribeHalf && Math.Abs(drawn.Slope.Value - true_.Slope) <= 2 * ScribeHalf);
        return alike ? Looks(question) : [Slope()];
    }

    private static List<PictureInHand> Asked(Question question, IReadOnlyList<PictureInHand> pictures) =>
        [.. pictures.Where(p => question.Photos.Contains(p.Measurement.Photo.Sha256, StringComparer.Ordinal))];

    private static Surface? SurfaceOf(Question question, IReadOnlyList<PictureInHand> pictures) =>
        question.Surface ?? pictures.FirstOrDefault(p => p.Measurement.Id == question.Answer?.Mark?.Measurement)?.Photo.Surface;

    private PhotoTruth? End(Surface? surface) => piece.Photos.FirstOrDefault(p => p.Surface == surface)?.Truth;

    private IReadOnlyList<HandFinding> Rings(Surface? surface, Question question)
    {
        if (End(surface)?.Rings is not { } rings)
            return [];
        return
        [
            On(Value("worstInch", Round(Math.Min(rings.WorstInch, rings.PerInch), RingStep), "rings/in", "lens and steel rule", RingStep), question),
            On(Value("perInch", Round(rings.PerInch, RingStep), "rings/in", "lens and steel rule", RingStep), question),
        ];
    }

    private IReadOnlyList<HandFinding> Angle(Surface? surface, Question question)
    {
        if (End(surface)?.RingAngle is not { } angle)
            return [];
        return
        [
            On(Value("ringAngle", Round(angle.Degrees, AngleStepDeg), "deg", "protractor", AngleHalfDeg), question),
            On(Value("leastRingAngle", Round(angle.Least, AngleStepDeg), "deg", "protractor", AngleHalfDeg), question),
            On(Value("greatestRingAngle", Round(angle.Greatest, AngleStepDeg), "deg", "protractor", AngleHalfDeg), question),
        ];
    }

    /// <summary>What the finding was found on, as the question names it.</summary>
    private static HandFinding On(HandFinding finding, Question question) => question.Answer?.Mark is { } mark
        ? finding with { Measurement = mark.Measurement }
        : finding with { Surface = question.Answer?.Surface };

    private IReadOnlyList<HandFinding> Looks(Question question) =>
    [
        .. question.Answer!.Limits.Select(limit => new HandFinding
        {
            Limit = limit,
            Surface = question.Answer.Surface,
            // Of the faces as a whole it is broken where anything is.
            Answer = piece.BrokenLimits.Contains(limit, StringComparer.Ordinal) || (limit == "all-faces" && piece.BrokenLimits.Count > 0) ? HandAnswer.Broken : HandAnswer.Met,
            Instrument = "lens and light",
            By = Name,
        }),
    ];

    /// <summary>A stain that is there and breaks nothing passes a look; how far a cluster bends the grain, or whether a hole matters, this truth does not say.</summary>
    private IReadOnlyList<HandFinding> MarkLooks(Question question) => question.Answer is { Mark: { } mark } answer
        ? [.. Looks(question).Where(l => l.Limit == "stain" || l.Answer == HandAnswer.Broken).Select(l => l with { Surface = null, Measurement = mark.Measurement })]
        : [];

    private static IReadOnlyList<HandFinding> Mark(MarkName name, IReadOnlyList<PictureInHand> pictures)
    {
        if (pictures.FirstOrDefault(p => p.Measurement.Id == name.Measurement) is not { } picture)
            return [];
        var shown = picture.Measurement.Blemishes.FirstOrDefault(b => b.Number == name.Blemish) ?? picture.Measurement.Blemishes.ElementAtOrDefault(name.Blemish - 1);
        if (shown is null)
            return [];
        var there = MarkPlace.Find(shown, picture.Photo.Truth, NearMm);
        return
        [
            new HandFinding
            {
                Measurement = name.Measurement,
                Blemish = name.Blemish,
                Is = there is null ? HandFinding.NoBlemish : BlemishWords.From(there.Kind).Replace(' ', '-'),
                Size = there is null ? null : new MarkSize(
                    Millimetres(there.DiameterMm), Millimetres(there.LengthMm), Millimetres(there.WidthMm), Round(there.EdgeDistanceMm, MarkStepMm), MarkStepMm),
                Instrument = "lens and steel rule",
                By = Name,
            },
        ];

        // Finer than its rule the inspector writes the rule's step.
        static double Millimetres(double mm) => Math.Max(MarkStepMm, Round(mm, MarkStepMm));
    }
}
