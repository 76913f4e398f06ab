using System.Globalization;
using System.Runtime.InteropServices;

namespace GrainVision.Accuracy.Tests;

/// <summary>Memory that the garbage collector does not see, as the C library and the kernel count it. Linux with glibc, as in CI and the container.</summary>
internal static partial class NativeMemory
{
    private const double MegaByte = 1024 * 1024;

    /// <summary>MB that malloc has handed out and not got back: mallinfo2(3), all arenas and mapped blocks. The managed heap is not in it.</summary>
    public static double AllocatedMb()
    {
        var info = MallInfo2();
        return (info.InUse + info.Mapped) / MegaByte;
    }

    /// <summary>MB of anonymous memory in RAM (proc(5), RssAnon) after collecting what is managed and giving back what malloc holds free.</summary>
    public static double ResidentMb()
    {
        for (var i = 0; i < 2; i++)
        {
            GC.Collect(2, GCCollectionMode.Aggressive, blocking: true, compacting: true);
            GC.WaitForPendingFinalizers();
        }

        _ = MallocTrim(0);
        const string name = "RssAnon:";
        var line = File.ReadLines("/proc/self/status").First(l => l.StartsWith(name, StringComparison.Ordinal));
        return double.Parse(line.AsSpan(name.Length, line.Length - name.Length - " kB".Length).Trim(), CultureInfo.InvariantCulture) / 1024;
    }

    [LibraryImport("libc", EntryPoint = "mallinfo2")]
    private static partial Info MallInfo2();

    [LibraryImport("libc", EntryPoint = "malloc_trim")]
    private static partial int MallocTrim(nuint pad);

    /// <summary>struct mallinfo2 of malloc.h: ten numbers of size_t.</summary>
    [StructLayout(LayoutKind.Sequential)]
    private readonly struct Info
    {
        private readonly nuint _arena, _freeBlocks, _fastBlocks, _mappedBlocks;
        private readonly nuint _mapped;
        private readonly nuint _unused, _fastBytes;
        private readonly nuint _inUse;
        private readonly nuint _free, _keep;

        public double Mapped => _mapped;

        public double InUse => _inUse;
    }
}
