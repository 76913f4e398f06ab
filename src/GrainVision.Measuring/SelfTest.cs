using OpenCvSharp;

namespace GrainVision.Measuring;

/// <summary>Loads OpenCV and runs a little of it.</summary>
public static class SelfTest
{
    /// <summary>What is wrong and what to do, or null.</summary>
    public static string? Run()
    {
        try
        {
            using var mat = new Mat(8, 8, MatType.CV_8UC1, Scalar.All(7));
            using var smooth = new Mat();
            Cv2.GaussianBlur(mat, smooth, new Size(3, 3), 1);
            return smooth.At<byte>(4, 4) == 7 ? null : "OpenCV gives wrong results on this machine.";
        }
        catch (Exception e) when (e is DllNotFoundException or TypeInitializationException or OpenCvSharpException or EntryPointNotFoundException)
        {
            return "A native library does not load. On Debian: apt-get install libgtk-3-0 libfreetype6 (tools/setup does it).";
        }
    }
}
