using System.Globalization;
using System.Text.Json.Serialization;

namespace GrainVision.Grading.Rules;

/// <summary>How far a limit's source can be trusted.</summary>
public enum SourceStatus
{
    /// <summary>The text was read.</summary>
    [JsonStringEnumMemberName("read")]
    Read,

    /// <summary>From memory, with <see cref="LimitSource.Confidence"/>.</summary>
    [JsonStringEnumMemberName("memory")]
    Memory,

    /// <summary>Follows from a formula and a published value.</summary>
    [JsonStringEnumMemberName("computed")]
    Computed,

    /// <summary>Common practice; no source is known.</summary>
    [JsonStringEnumMemberName("common-practice")]
    CommonPractice,

    /// <summary>Looked for and not found: nothing may be accepted or rejected by it.</summary>
    [JsonStringEnumMemberName("no-published-limit")]
    NoPublishedLimit,
}

/// <summary>Where a limit comes from.</summary>
/// <param name="Status">How far it can be trusted.</param>
/// <param name="Document">Title and year; null where there is none (common practice, no published limit).</param>
/// <param name="Where">Paragraph or table.</param>
/// <param name="Confidence">0 to 1; given with <see cref="SourceStatus.Memory"/> and only then.</param>
/// <param name="Note">Anything a reader must know of it, such as "scan doubtful".</param>
public sealed record LimitSource(
    [property: JsonRequired] SourceStatus Status,
    string? Document = null,
    string? Where = null,
    double? Confidence = null,
    string? Note = null)
{
    /// <summary>For a person, such as "ANC-19 (1943) 2.413 and Table 2-13, read".</summary>
    public string Cite()
    {
        var text = (Status, Document) switch
        {
            (SourceStatus.CommonPractice, null) => "common practice, no source",
            (SourceStatus.CommonPractice, _) => $"common practice, {Document}{Place}",
            (SourceStatus.NoPublishedLimit, _) => "no published limit found",
            (SourceStatus.Computed, _) => $"computed from {Document}{Place}",
            (SourceStatus.Memory, _) => string.Create(CultureInfo.InvariantCulture, $"{Document}{Place}, from memory, confidence {Confidence:0.##}"),
            _ => $"{Document}{Place}",
        };
        return Note is null ? text : $"{text} ({Note})";
    }

    private string Place => Where is null ? "" : $" {Where}";

    internal IEnumerable<string> Problems()
    {
        if (!Enum.IsDefined(Status))
            yield return "a source's status is not known";
        if (Status is SourceStatus.Read or SourceStatus.Memory or SourceStatus.Computed && string.IsNullOrWhiteSpace(Document))
            yield return "a source that is read, computed or from memory names its document";
        if ((Status == SourceStatus.Memory) != (Confidence is > 0 and <= 1))
            yield return "a source from memory, and no other, states a confidence over 0 and up to 1";
    }
}
