using GrainVision.Grading.Findings;

namespace GrainVision.Grading.Verdicts;

/// <summary>A reason of a decision, with the measurement that it comes from; null where it speaks of the piece.</summary>
public sealed record EvidenceReason(string? Measurement, Reason Reason);
