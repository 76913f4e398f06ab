using System.Text.Json.Serialization;
using GrainVision.Grading.Quantities;

namespace GrainVision.Grading.Findings;

/// <summary>What to do with a piece, for one use.</summary>
public enum VerdictOutcome
{
    /// <summary>Every limit that this evidence can show is met, intervals and all.</summary>
    [JsonStringEnumMemberName("accept")]
    Accept,

    /// <summary>Measure by hand before deciding.</summary>
    [JsonStringEnumMemberName("hold")]
    Hold,

    /// <summary>At least one limit is broken, interval and all.</summary>
    [JsonStringEnumMemberName("reject")]
    Reject,
}

/// <summary>Why the verdict is what it is, one limit at a time.</summary>
/// <param name="LimitId">Limit of the rule book.</param>
/// <param name="Outcome">What this limit alone says.</param>
/// <param name="Text">One sentence for a person: measured value with interval against the limit. Its source stands in <paramref name="Source"/>, never here.</param>
/// <param name="Source">Where the limit is published.</param>
/// <param name="Quantity">What was compared, such as <c>worstInch</c>; null where nothing was.</param>
/// <param name="Measured">The value that was compared, with its interval, in the quantity's own unit.</param>
/// <param name="Limit">The limit in the same unit.</param>
/// <param name="Unit">Unit of both: rings/in, deg, tangent, mm.</param>
/// <param name="At">Where in the picture, px.</param>
/// <param name="HandCheck">Which hand measurement would settle a hold.</param>
public sealed record Reason(
    string LimitId,
    VerdictOutcome Outcome,
    string Text,
    string Source,
    string? Quantity = null,
    Measured? Measured = null,
    double? Limit = null,
    string? Unit = null,
    PointPx? At = null,
    string? HandCheck = null)
{
    /// <summary>Of a verdict on a piece: the surface that this speaks of; null where it speaks of the whole piece.</summary>
    public Surface? Surface { get; init; }

    /// <summary>Of a slope of two adjacent faces combined: which two; null of anything else.</summary>
    public IReadOnlyList<Surface>? Faces { get; init; }

    /// <summary>Of a verdict on a piece: SHA-256 of the photo that <see cref="At"/> is in.</summary>
    public string? Photo { get; init; }

    /// <summary>Of a verdict on a piece: where along it, mm from end A.</summary>
    public double? StationMm { get; init; }

    /// <summary>Of a verdict on a piece: the mark that it speaks of, as its question and findings name it.</summary>
    public MarkName? Mark { get; init; }

    /// <summary>Which question would settle a hold, where the limit alone does not tell.</summary>
    [JsonIgnore]
    internal QuestionCode? Asks { get; init; }

    /// <summary>Of a verdict on a piece: <see cref="HandCheck"/> as it was before the surface was put in front of it; null where none was.</summary>
    [JsonIgnore]
    internal string? HandCheckOfSurface { get; init; }
}

/// <summary>A mark by the first photo that shows it.</summary>
/// <param name="Measurement">Id of the photo's measurement.</param>
/// <param name="Blemish">Its number on the picture, from 1.</param>
public sealed record MarkName(string Measurement, int Blemish);

/// <summary>
/// The verdict on what one photo, or all photos of one piece, show, for the use of one rule book.
/// </summary>
/// <param name="RuleBook">Id of the rule book.</param>
/// <param name="RuleBookVersion">Its version.</param>
/// <param name="Use">Its use, in words.</param>
/// <param name="Outcome">The gravest outcome of <paramref name="Reasons"/>.</param>
/// <param name="Scope">What the verdict speaks of: "this end only", "this face only", "this piece".</param>
/// <param name="Reasons">Every limit that was judged, gravest first.</param>
/// <param name="HandChecks">What a person must still do, whatever the outcome.</param>
/// <param name="Cautions">What the verdict did not and cannot see, and who decides.</param>
public sealed record Verdict(
    string RuleBook,
    int RuleBookVersion,
    string Use,
    VerdictOutcome Outcome,
    string Scope,
    IReadOnlyList<Reason> Reasons,
    IReadOnlyList<string> HandChecks,
    IReadOnlyList<string> Cautions)
{
    /// <summary>Of a verdict on one photo: what it comes to for the piece. Null where the verdict is of the piece.</summary>
    public PieceOutlook? Piece { get; init; }
}

/// <summary>What a photo alone comes to for its piece: reject where its surface is rejected, else hold, since an accept needs more than one photo.</summary>
/// <param name="Outcome">Hold or reject.</param>
/// <param name="Needs">What an accept of the piece needs beside it: both-ends, four-faces, moisture, weight.</param>
/// <param name="Text">The same in a sentence.</param>
public sealed record PieceOutlook(VerdictOutcome Outcome, IReadOnlyList<string> Needs, string Text);
