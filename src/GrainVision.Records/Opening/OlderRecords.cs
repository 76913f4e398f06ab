using System.Data.Common;
using GrainVision.Records.Log;
using GrainVision.Records.Measurements;
using GrainVision.Records.RuleBooks;

namespace GrainVision.Records.Opening;

/// <summary>Enters what was recorded before there was a log, once, when the log's tables are made. The entries say so: they prove nothing of the time before.</summary>
internal static class OlderRecords
{
    public static void Enter(DbTransaction transaction)
    {
        foreach (var book in RuleBookStore.ByAge(transaction))
            RuleBookStore.Append(transaction, book, EntryReasons.BeforeTheLog);
        // One at a time: a list of every measurement ever made may not fit into memory.
        for (var last = ""; MeasurementStore.Next(transaction, last) is { } measurement; last = measurement.Id)
            MeasurementEntry.Append(transaction, measurement, null, new Recording("unknown", new EntryVersions()) { Why = EntryReasons.BeforeTheLog });
    }
}
