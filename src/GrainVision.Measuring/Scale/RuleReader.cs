using GrainVision.Grading.Findings;
using GrainVision.Grading.Refusals;
using OpenCvSharp;

namespace GrainVision.Measuring.Scale;

/// <summary>Reads a steel rule.</summary>
internal static class RuleReader
{
    public static Outcome<PhotoScale> Find(Mat gray, RuleUnit? unit, CancellationToken cancel)
    {
        cancel.ThrowIfCancellationRequested();
        return ScaleRefusals.RuleNotFound();
    }
}
