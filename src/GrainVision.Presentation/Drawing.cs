using System.Reflection;
using SkiaSharp;

namespace GrainVision.Presentation;

/// <summary>The library that draws: which version, and whether it works here.</summary>
public static class Drawing
{
    /// <summary>"Skia" and its version: goes into the record of every picture.</summary>
    public static string Version { get; } =
        $"Skia {typeof(SKBitmap).Assembly.GetCustomAttribute<AssemblyInformationalVersionAttribute>()?.InformationalVersion.Split('+')[0]}";

    /// <summary>Loads the native library and runs a little of it: what is wrong and what to do, or null.</summary>
    public static string? SelfTest()
    {
        try
        {
            using var bitmap = new SKBitmap(8, 8);
            bitmap.Erase(SKColors.Red);
            return bitmap.GetPixel(4, 4) == SKColors.Red ? null : "Skia gives wrong results on this machine.";
        }
        catch (Exception e) when (e is DllNotFoundException or TypeInitializationException or EntryPointNotFoundException)
        {
            return "A native library does not load. On Debian: apt-get install libgtk-3-0 libfreetype6 (tools/setup does it).";
        }
    }
}
