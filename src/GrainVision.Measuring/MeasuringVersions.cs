using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;
using System.Security.Cryptography;
using System.Text;
using GrainVision.Grading.Findings;
using GrainVision.Measuring.Networks;
using GrainVision.Measuring.Rings;
using GrainVision.Measuring.Surfaces;
using GrainVision.Measuring.Uncertainty;
using Microsoft.ML.OnnxRuntime;
using OpenCvSharp;

namespace GrainVision.Measuring;

/// <summary>Everything on which a measurement's numbers depend, and its picture but for the drawing, by version: goes into the record of each.</summary>
/// <param name="Pipeline"><see cref="PipelineVersion.Current"/>.</param>
/// <param name="Model">The trained models and the calibration of intervals, by their hashes.</param>
/// <param name="OpenCv">Version and, since builds of one version differ, the start of the SHA-256 of its build information.</param>
/// <param name="Runtime">.NET and ONNX Runtime versions, system and width of its vectors: the last digits of sums depend on them.</param>
public sealed record MeasuringVersions(string Pipeline, string Model, string OpenCv, string Runtime)
{
    /// <summary>16 hex digits of a hash: enough to tell builds apart.</summary>
    private const int HashDigits = 16;

    private static readonly Lazy<MeasuringVersions> Now = new(Read);

    /// <summary>Those of this process. Loads the native libraries.</summary>
    public static MeasuringVersions Current => Now.Value;

    private static MeasuringVersions Read()
    {
        var build = Convert.ToHexStringLower(SHA256.HashData(Encoding.UTF8.GetBytes(Cv2.GetBuildInformation())))[..HashDigits];
        var vector = Vector512.IsHardwareAccelerated ? 512 : Vector256.IsHardwareAccelerated ? 256 : 128;
        return new MeasuringVersions(
            PipelineVersion.Current, $"{RegionTrees.IdentityOf(View.Face)}, {RegionTrees.IdentityOf(View.End)}, {RingNetwork.EmbeddedIdentity}, {IntervalCalibration.EmbeddedIdentity}", $"{Cv2.GetVersionString()} build {build}",
            $"{RuntimeInformation.FrameworkDescription} {RuntimeInformation.RuntimeIdentifier} {vector}-bit vectors, ONNX Runtime {OrtEnv.Instance().GetVersionString()}");
    }
}
