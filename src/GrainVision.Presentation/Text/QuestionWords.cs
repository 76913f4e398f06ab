using GrainVision.Grading.Findings;
using GrainVision.Grading.Deliveries;
using GrainVision.Grading.Questions;

namespace GrainVision.Presentation.Text;

/// <summary>Questions in a few words for a sheet of many pieces, and how to answer each kind, said once.</summary>
internal static class QuestionWords
{
    /// <summary>Where on the walk: "lens", "light", "meter", "scales", "scribe", "desk".</summary>
    public static string Step(WalkStep step) => step switch
    {
        WalkStep.EndsWithLens => "lens",
        WalkStep.FacesWithLight => "light",
        WalkStep.Meter => "meter",
        WalkStep.Scale => "scales",
        WalkStep.Scribe => "scribe",
        _ => "desk",
    };

    /// <summary>"end A: worst inch", "face 1 at 700 mm: knot? 5 mm".</summary>
    public static string Brief(Question question, PieceReport piece)
    {
        var at = question.Surface is { } s ? SurfaceWords.From(s) : "";
        var colon = at.Length > 0 ? ": " : "";
        return question.Code switch
        {
            QuestionCode.ShowEnd => $"{at} not shown",
            QuestionCode.Rings => $"{at}{colon}rings in the worst inch",
            QuestionCode.RingAngle => $"{at}{colon}ring angle",
            QuestionCode.Pith => $"{at}{colon}pith inside?",
            QuestionCode.Mark => $"{at}{(question.StationMm is { } mm && question.Surface is not (Surface.EndA or Surface.EndB) ? $" at {Figures.Number(mm, 0)} mm" : "")}{colon}{Mark(question, piece)}",
            QuestionCode.Cracks => $"fine cracks{On(question)}",
            QuestionCode.LookOver => $"what no photo shows{On(question)}",
            QuestionCode.Moisture => "moisture",
            QuestionCode.Weight => "weight",
            QuestionCode.Size => "width, thickness, length",
            QuestionCode.Slope => "true slope of grain",
            QuestionCode.Fibres => $"fibres as drawn{On(question)}",
            QuestionCode.Outline => $"outline in the picture right?{On(question)}",
            QuestionCode.RuleUnit => "is the rule metric?",
            QuestionCode.Species => "species",
            QuestionCode.PhotoPlace => "a photo to place or take",
            _ => "approved data",
        };
    }

    /// <summary>How to answer a question of this kind.</summary>
    public static string How(QuestionCode code) => code switch
    {
        QuestionCode.ShowEnd => "End not shown: photograph it, or count its worst inch and measure the ring angle.",
        QuestionCode.Rings => "Rings: count the widest-ringed inch along a radius, with lens and steel rule.",
        QuestionCode.RingAngle => "Ring angle: against the wide face, at the middle, the least and the greatest.",
        QuestionCode.Pith => "Pith: it may not lie inside the section at either end.",
        QuestionCode.Mark => "Mark: say what it is, or that it is nothing; measure a blemish's diameter, length, width and distance from the edge.",
        QuestionCode.Cracks => "Fine cracks: the photos are too coarse to show them; look with a lens.",
        QuestionCode.LookOver => "What no photo shows: look it over for blemishes, end to end.",
        QuestionCode.Moisture => "Moisture: meter set to the species, or note its correction.",
        QuestionCode.Weight => "Weight: the whole piece, on the scales.",
        QuestionCode.Size => "Sizes: with a tape, to the millimetre or sixteenth.",
        QuestionCode.Slope => "True slope: scribe two adjacent faces where the grain looks steepest and combine, or split a sliver.",
        QuestionCode.Fibres => "Fibres: scribe or ink once; do they run as the lines in the picture?",
        QuestionCode.Outline => "Outline: does it run along the edges of the wood all round in the picture? Else photograph the surface again.",
        QuestionCode.RuleUnit => "Rule: the one that lay beside the piece in the photos.",
        QuestionCode.Species => "Species: which wood, and of which class where it has one.",
        QuestionCode.PhotoPlace => "Photo: say where it belongs, or take what is missing.",
        _ => "Approved data: no published limit is known; decide from the approved data.",
    };

    private static string Mark(Question question, PieceReport piece) =>
        question.Answer is { Marks.Count: > 1 } answer ? $"{answer.Marks.Count} marks, anything?"
        : question.Answer?.Mark is { } name && piece.Findings.Photos.FirstOrDefault(p => p.Measurement.Id == name.Measurement)?.Measurement.Blemishes.ElementAtOrDefault(name.Blemish - 1) is { } b
            ? TradeWords.BriefBlemish(b)
            : "odd mark?";

    /// <summary>" on end A, faces 1-3".</summary>
    private static string On(Question question)
    {
        var ends = question.Surfaces.Where(s => s is Surface.EndA or Surface.EndB).Select(SurfaceWords.From).ToList();
        var faces = question.Surfaces.Where(s => s is not (Surface.EndA or Surface.EndB)).Select(s => s - Surface.Face1 + 1).ToList();
        if (faces.Count > 0)
            ends.Add($"face{(faces.Count == 1 ? "" : "s")} {DeliveryWords.Pieces(faces)}");
        return ends.Count == 0 ? "" : " on " + string.Join(", ", ends);
    }
}
