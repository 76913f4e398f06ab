using System.Data.Common;
using Microsoft.Data.Sqlite;

namespace GrainVision.Records.Deliveries;

/// <summary>
/// Hands work to the job engine inside a transaction of the records: so many steps of one delivery, 0 and up. The engine writes its
/// messages in that transaction, so that a photo and the work it means are kept together or not at all.
/// </summary>
/// <returns>Lets the work start; to be called once the transaction is committed. A process that dies before takes it up at its next start.</returns>
public delegate Task<Func<Task>> Enqueue(DbTransaction transaction, string deliveryId, int steps);

internal static class EnqueueExtensions
{
    /// <summary>Commits, then lets the work start.</summary>
    public static async Task CommitWith(this SqliteTransaction transaction, Func<Task> start)
    {
        await transaction.CommitAsync();
        await start();
    }
}
