using GrainVision.Grading.Findings;
using GrainVision.Grading.Rules;

namespace GrainVision.Grading.Verdicts;

/// <summary>Which evidence of a piece a limit is judged by.</summary>
internal enum LimitScope
{
    /// <summary>Each end; the worse governs.</summary>
    Ends,

    /// <summary>Faces, each with its neighbours.</summary>
    Slopes,

    /// <summary>Every mark of every surface.</summary>
    Marks,

    /// <summary>Meter, scales and tape.</summary>
    Readings,

    /// <summary>A person's look alone.</summary>
    Look,
}

/// <summary>Everything that is particular to a kind of limit.</summary>
/// <param name="OnSurface">What it says of one surface.</param>
/// <param name="Scope">Which evidence of a piece it is judged by.</param>
/// <param name="Asks">The question that a hold of it is of.</param>
internal sealed record LimitKind(Func<Limit, Measurement, BlemishSetting, LimitAssessment> OnSurface, LimitScope Scope, QuestionCode Asks)
{
    /// <summary>What an end cannot say where it does not show it.</summary>
    internal CannotSayTopic Topic { get; init; }

    /// <summary>True where only a number settles a hold; false where a look does; null where that hangs on what was compared.</summary>
    internal bool? TakesANumber { get; init; }
}

/// <summary>
/// The kinds of limits, a line each: the one place that tells them apart. A new kind is its record in Rules, its evaluator here beside, and a line.
/// </summary>
internal static class LimitKinds
{
    private static readonly Dictionary<Type, LimitKind> All = new()
    {
        [typeof(RingsPerInchMinimum)] = Make<RingsPerInchMinimum>((l, m, _) => RingJudge.Judge(l, m), LimitScope.Ends, QuestionCode.Rings, CannotSayTopic.Rings, takesANumber: true),
        [typeof(RingsPerInchRange)] = Make<RingsPerInchRange>((l, m, _) => RingJudge.Judge(l, m), LimitScope.Ends, QuestionCode.Rings, CannotSayTopic.Rings, takesANumber: true),
        [typeof(EdgeGrain)] = Make<EdgeGrain>((l, m, _) => AngleJudge.Judge(l, m), LimitScope.Ends, QuestionCode.RingAngle, CannotSayTopic.RingAngle, takesANumber: true),
        [typeof(QuarterSawn)] = Make<QuarterSawn>((l, m, _) => AngleJudge.Judge(l, m), LimitScope.Ends, QuestionCode.RingAngle, CannotSayTopic.RingAngle, takesANumber: true),
        [typeof(BoxedPith)] = Make<BoxedPith>((l, m, _) => AngleJudge.Judge(l, m), LimitScope.Ends, QuestionCode.Pith, CannotSayTopic.RingAngle, takesANumber: false),
        [typeof(SlopeOfGrain)] = Make<SlopeOfGrain>((l, m, _) => SlopeJudge.Judge(l, m), LimitScope.Slopes, QuestionCode.Slope, CannotSayTopic.Grain, takesANumber: true),
        [typeof(SlopeOuterPart)] = Make<SlopeOuterPart>((l, m, _) => SlopeJudge.Judge(l, m), LimitScope.Slopes, QuestionCode.Slope, CannotSayTopic.Grain, takesANumber: true),
        [typeof(SlopeMiddleHalf)] = Make<SlopeMiddleHalf>((l, m, _) => SlopeJudge.Judge(l, m), LimitScope.Slopes, QuestionCode.Slope, CannotSayTopic.Grain, takesANumber: true),
        [typeof(KnotInBeam)] = OfMarks<KnotInBeam>(KnotJudge.Judge),
        [typeof(KnotInSmallPart)] = OfMarks<KnotInSmallPart>(KnotJudge.Judge),
        [typeof(GrainBesideKnot)] = OfMarks<GrainBesideKnot>(KnotJudge.Judge),
        [typeof(PitchPocketInBeam)] = OfMarks<PitchPocketInBeam>(PocketJudge.Judge),
        [typeof(PitchPocketInSolidSpar)] = OfMarks<PitchPocketInSolidSpar>(PocketJudge.Judge),
        [typeof(PitchPocketInSmallPart)] = OfMarks<PitchPocketInSmallPart>(PocketJudge.Judge),
        [typeof(NeverAllowed)] = OfMarks<NeverAllowed>(BlemishJudge.Judge),
        [typeof(LookByHand)] = OfMarks<LookByHand>(BlemishJudge.Judge),
        [typeof(MoistureRange)] = Make<MoistureRange>((l, _, _) => HandJudge.Judge(l), LimitScope.Readings, QuestionCode.Moisture, default, takesANumber: true),
        [typeof(SpecificGravityMinimum)] = Make<SpecificGravityMinimum>((l, m, _) => HandJudge.Judge(l, m.Species), LimitScope.Readings, QuestionCode.Weight, default, takesANumber: true),
        [typeof(HandCheckOnly)] = Make<HandCheckOnly>((l, m, _) => HandJudge.Judge(l, m.View), LimitScope.Look, QuestionCode.LookOver, default, takesANumber: null),
    };

    internal static LimitKind From(Limit limit) => All[limit.GetType()];

    private static LimitKind Make<T>(
        Func<T, Measurement, BlemishSetting, LimitAssessment> onSurface, LimitScope scope, QuestionCode asks, CannotSayTopic topic, bool? takesANumber)
        where T : Limit => new((l, m, s) => onSurface((T)l, m, s), scope, asks) { Topic = topic, TakesANumber = takesANumber };

    /// <summary>Of marks the open point may be a size, or what the mark is.</summary>
    private static LimitKind OfMarks<T>(Func<T, Measurement, BlemishSetting, LimitAssessment> onSurface)
        where T : Limit => Make(onSurface, LimitScope.Marks, QuestionCode.Mark, CannotSayTopic.Blemishes, takesANumber: null);
}
