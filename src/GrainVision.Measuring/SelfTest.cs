using GrainVision.Measuring.Rings;
using Microsoft.ML.OnnxRuntime;
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
            using var band = new Mat(RingNetwork.Rows, 64, MatType.CV_8UC3, Scalar.All(128));
            if (RingNetwork.Read(band).Boundary.Any(p => !(p is >= 0 and <= 1)))
                return "ONNX Runtime gives wrong results on this machine.";
            return smooth.At<byte>(4, 4) == 7 ? null : "OpenCV gives wrong results on this machine.";
        }
        catch (Exception e) when (e is DllNotFoundException or TypeInitializationException or OpenCvSharpException or OnnxRuntimeException or EntryPointNotFoundException)
        {
            return "A native library does not load. On Debian: apt-get install libgtk-3-0 libfreetype6 (tools/setup does it).";
        }
    }
}
