using System.Text.Json.Serialization;
using GrainVision.Grading.ByHand;
using GrainVision.Grading.Findings;

namespace GrainVision.Grading.Questions;

/// <summary>Where on the way round a piece something is done, in this order.</summary>
public enum WalkStep
{
    /// <summary>At the ends, with the lens.</summary>
    [JsonStringEnumMemberName("ends-with-lens")]
    EndsWithLens,

    /// <summary>Along the faces, with a light.</summary>
    [JsonStringEnumMemberName("faces-with-light")]
    FacesWithLight,

    /// <summary>With the moisture meter.</summary>
    [JsonStringEnumMemberName("meter")]
    Meter,

    /// <summary>On the scales, and with the tape.</summary>
    [JsonStringEnumMemberName("scale")]
    Scale,

    /// <summary>With scribe, ink or a split.</summary>
    [JsonStringEnumMemberName("scribe")]
    Scribe,

    /// <summary>At the desk: papers, photos, approved data.</summary>
    [JsonStringEnumMemberName("desk")]
    Desk,
}

/// <summary>The smallest thing that a person can do to settle what is open on a piece. It is asked once, whatever limits and photos hang on it.</summary>
/// <param name="Id">Stays the same while it is open: code, and what it is of.</param>
/// <param name="Code">What it asks for.</param>
/// <param name="Step">Where on the way round the piece.</param>
/// <param name="Text">For a person, one or two sentences.</param>
/// <param name="Answer">What to enter; null where no finding answers it, but a placed photo or a decision.</param>
/// <param name="Uses">Rule books of the uses that are open by it.</param>
/// <param name="Settles">Those of them that nothing else holds.</param>
public sealed record Question(
    string Id, QuestionCode Code, WalkStep Step, string Text, QuestionAnswer? Answer, IReadOnlyList<string> Uses, IReadOnlyList<string> Settles)
{
    /// <summary>End or face; null where it is of several, or of the piece.</summary>
    public Surface? Surface { get; init; }

    /// <summary>Every end and face that it is of; empty where it is of the piece.</summary>
    public IReadOnlyList<Surface> Surfaces { get; init; } = [];

    /// <summary>mm from end A; null where it is of no place.</summary>
    public double? StationMm { get; init; }

    /// <summary>SHA-256 of the photos that show it.</summary>
    public IReadOnlyList<string> Photos { get; init; } = [];
}

/// <summary>The finding that answers a question, as far as the question knows it: the person adds value, instrument and name.</summary>
/// <param name="Kind">Kind of the finding.</param>
public sealed record QuestionAnswer(HandKind Kind)
{
    /// <summary>Quantities to enter, each a finding.</summary>
    public IReadOnlyList<string> Quantities { get; init; } = [];

    /// <summary>Limits to answer with met or broken, each a finding.</summary>
    public IReadOnlyList<string> Limits { get; init; } = [];

    /// <summary>The <c>surface</c> to name.</summary>
    public Surface? Surface { get; init; }

    /// <summary>The <c>measurement</c> and <c>blemish</c> to name; null where it asks for none, or for several.</summary>
    public MarkName? Mark { get; init; }

    /// <summary>The marks to name, each in a finding of its own.</summary>
    public IReadOnlyList<MarkName> Marks { get; init; } = [];
}

/// <summary>A check that holds for every piece of a use: a line of the walk, said once and not a piece.</summary>
/// <param name="Limit">Limit that it is of; a look that finds it broken is entered as the answer to it.</param>
/// <param name="Step">Where on the way round a piece.</param>
/// <param name="Text">What to do.</param>
/// <param name="Uses">Rule books that ask for it.</param>
public sealed record WalkLine(string Limit, WalkStep Step, string Text, IReadOnlyList<string> Uses);
