using GrainVision.Grading.Findings;
using GrainVision.Grading.Verdicts;

namespace GrainVision.Service.Measurements;

/// <summary>A version that was another one when the photo was measured.</summary>
internal sealed record VersionDifference(string Of, string? Recorded, string? Present);

/// <summary>A member of the measurement that came out differently.</summary>
internal sealed record MemberDifference(string Path, string? Recorded, string? Now);

/// <summary>What measuring again gave.</summary>
/// <param name="Measurement">Id of the record.</param>
/// <param name="Same">True where numbers and picture are the recorded ones, byte for byte.</param>
/// <param name="MeasurementSame">The answer is, apart from id, timings and the picture's address.</param>
/// <param name="PictureSame">The picture is.</param>
/// <param name="Versions">Versions that differ.</param>
/// <param name="Recorded">Recorded verdict.</param>
/// <param name="Now">Verdict now.</param>
/// <param name="Refused">Why the photo is not measured any more.</param>
/// <param name="Differences">What changed; the first <see cref="ReplayService.MostDifferences"/>.</param>
internal sealed record ReplayAnswer(
    string Measurement, bool Same, bool MeasurementSame, bool PictureSame, IReadOnlyList<VersionDifference> Versions,
    VerdictOutcome? Recorded, VerdictOutcome? Now, string? Refused, IReadOnlyList<MemberDifference> Differences);
