using System.Data.Common;

namespace GrainVision.Records.Deliveries;

/// <summary>What is done with a photo next.</summary>
public enum PhotoStepKind
{
    /// <summary>Find out where it belongs; an end is measured in the same go.</summary>
    Sort,

    /// <summary>Measure it where it was placed.</summary>
    Measure,
}

/// <summary>One step of work on one photo of a delivery.</summary>
public sealed record PhotoStep(PhotoStepKind Kind, string DeliveryId, string Sha256);

/// <summary>
/// Hands steps, 0 and up, to the job engine inside a transaction of the records. The engine writes its messages in that transaction, so that a photo
/// and the work it means are kept together or not at all.
/// </summary>
/// <returns>Lets the work start; to be called once the transaction is committed. A process that dies before takes it up at its next start.</returns>
public delegate Task<Func<Task>> Enqueue(DbTransaction transaction, IReadOnlyList<PhotoStep> steps);
