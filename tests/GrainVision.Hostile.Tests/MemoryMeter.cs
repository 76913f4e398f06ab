using System.Globalization;

namespace GrainVision.Hostile.Tests;

/// <summary>
/// Peak memory of this process, managed and native together, as the kernel counts it (VmHWM of proc(5)); the peak can be set back
/// to the present by writing 5 to clear_refs.
/// </summary>
internal static class MemoryMeter
{
    private const long MegaByte = 1024 * 1024;

    /// <summary>Runs something and gives by how many MB the process grew at its largest.</summary>
    public static async Task<double> PeakGrowthMb(Func<Task> what)
    {
        GC.Collect(2, GCCollectionMode.Aggressive, blocking: true, compacting: true);
        File.WriteAllText("/proc/self/clear_refs", "5");
        var before = Status("VmRSS:");
        await what();
        return (Status("VmHWM:") - before) / (double)MegaByte;
    }

    private static long Status(string name)
    {
        var line = File.ReadLines("/proc/self/status").First(l => l.StartsWith(name, StringComparison.Ordinal));
        return 1024 * long.Parse(line.AsSpan(name.Length, line.Length - name.Length - " kB".Length).Trim(), CultureInfo.InvariantCulture);
    }
}
