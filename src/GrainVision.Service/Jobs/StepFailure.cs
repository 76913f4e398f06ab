using GrainVision.Grading.Refusals;
using GrainVision.Records.Deliveries;

namespace GrainVision.Service.Jobs;

/// <summary>Why a step on a photo came to nothing.</summary>
/// <param name="Problem">As it stands in the photo's row, where the step is not tried again.</param>
/// <param name="MayPass">False where a second try is bound to end the same.</param>
internal sealed record StepFailure(PhotoProblem Problem, bool MayPass)
{
    private static readonly PhotoProblem LostPhoto = new(
        RefusalCatalog.PhotoLost.Code, "The photo's file is no longer in the store, or was changed.", "Send the photo again.");

    /// <summary>The photo's file is not in the store.</summary>
    public static StepFailure Lost { get; } = new(LostPhoto, MayPass: false);

    /// <summary>The photo's file is not what it was; a disk may read better at the second try.</summary>
    public static StepFailure Damaged { get; } = new(LostPhoto, MayPass: true);

    /// <summary>An exception: a bug of ours.</summary>
    public static StepFailure Ours { get; } = new(
        new PhotoProblem(RefusalCatalog.InternalError.Code, "The service failed on this photo; the fault is ours.", "Measure by hand, and tell whoever runs the service."), MayPass: true);

    public static StepFailure From(Refusal refusal) => new(ProblemOf(refusal), refusal.OurFault);

    /// <summary>Why a photo was refused, as it stands in the photo's row.</summary>
    public static PhotoProblem ProblemOf(Refusal refusal) => new(refusal.Code, refusal.Message, refusal.Advice);
}

/// <summary>Tells the job engine that a step failed and is to be brought again.</summary>
internal sealed class StepFailedException(PhotoStep step, StepFailure failure, Exception? inner)
    : Exception($"{step.Kind} of photo {step.Sha256} failed: {failure.Problem.Code}", inner);
