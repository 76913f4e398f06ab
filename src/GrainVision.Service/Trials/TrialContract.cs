using GrainVision.Grading.Trials;
using GrainVision.Records.Trials;

namespace GrainVision.Service.Trials;

/// <summary>Pieces that were measured by hand, and their photos.</summary>
internal sealed record TrialRequest
{
    /// <summary>Who measured by hand.</summary>
    public required string By { get; init; }

    /// <summary>One a measurement by hand; repeats are entries of their own.</summary>
    public required IReadOnlyList<HandReading> ByHand { get; init; }

    /// <summary>Photos of the pieces, by the ids of their measurements, and those that were refused.</summary>
    public required IReadOnlyList<TrialPhotoLink> Photos { get; init; }
}

/// <summary>A trial on record.</summary>
/// <param name="Entry">Number of its entry in the log.</param>
/// <param name="By">Who measured by hand.</param>
/// <param name="Report">How hand and photo agree.</param>
/// <param name="Page">Address of the page with the plots.</param>
internal sealed record TrialAnswer(long Entry, string By, TrialReport Report, string Page);
