using System.Text;
using Microsoft.ML.OnnxRuntime;

namespace GrainVision.Measuring.Networks;

/// <summary>One output of a network.</summary>
/// <param name="Values">Row-major.</param>
/// <param name="Shape">Length of each dimension.</param>
internal sealed record NetworkOutput(float[] Values, int[] Shape);

/// <summary>
/// A trained network in ONNX form (onnx.ai, opset and file format by that open standard), run by ONNX Runtime on one thread. Safe for use from many threads at once:
/// a session's Run is, by its documentation, and it holds no state between runs.
/// </summary>
/// <remarks>
/// One thread, operators in graph order and a fixed level of optimisation: the same processor gives the same bytes. Another processor may take other
/// vector instructions and differ in the last digits. No file is opened: the model is a resource of this program.
/// </remarks>
internal sealed class OnnxNetwork : IDisposable
{
    private readonly InferenceSession _session;
    private readonly string[] _inputs;
    private readonly string[] _outputs;

    private OnnxNetwork(InferenceSession session)
    {
        _session = session;
        _inputs = [.. session.InputMetadata.Keys];
        _outputs = [.. session.OutputMetadata.Keys];
    }

    /// <summary>The model "GrainVision.Models.{folder}.model.onnx" of this program, held against the hash beside it.</summary>
    /// <exception cref="InvalidDataException">The model is missing or is not the one that its hash names: a broken build.</exception>
    public static OnnxNetwork LoadEmbedded(string folder)
    {
        var hashes = Encoding.ASCII.GetString(EmbeddedModel.Read(folder + ".model.sha256"));
        return Load(EmbeddedModel.Read(folder + ".model.onnx"), hashes);
    }

    /// <param name="model">The ONNX file.</param>
    /// <param name="sha256">Its hash in lower-case hex, as sha256sum writes it; more text may stand beside it.</param>
    public static OnnxNetwork Load(byte[] model, string sha256)
    {
        if (!sha256.Contains(EmbeddedModel.HashOf(model), StringComparison.Ordinal))
            throw new InvalidDataException("The network is not the one that its hash names.");
        using var options = new SessionOptions
        {
            IntraOpNumThreads = 1,
            InterOpNumThreads = 1,
            ExecutionMode = ExecutionMode.ORT_SEQUENTIAL,
            GraphOptimizationLevel = GraphOptimizationLevel.ORT_ENABLE_ALL,
            // Surfaces and strips differ in size, so a plan of memory for one size is of no use to the next, and an arena would keep the greatest for ever.
            EnableMemoryPattern = false,
            EnableCpuMemArena = false,
            LogSeverityLevel = OrtLoggingLevel.ORT_LOGGING_LEVEL_ERROR,
        };
        return new OnnxNetwork(new InferenceSession(model, options));
    }

    /// <summary>"rings network 1d84fb3700aa55cc": an embedded model by the start of its hash.</summary>
    public static string IdentityOf(string folder) => $"{folder.ToLowerInvariant()} network {EmbeddedModel.ShortHashOf(folder + ".model.onnx")}";

    /// <summary>Runs the network on its one input and gives its first output.</summary>
    /// <param name="values">Row-major.</param>
    /// <param name="shape">Length of each dimension.</param>
    public NetworkOutput Run(float[] values, params ReadOnlySpan<int> shape)
    {
        long[] lengths = [.. shape];
        using var input = OrtValue.CreateTensorValueFromMemory(values, lengths);
        using var run = new RunOptions();
        using var results = _session.Run(run, _inputs, [input], _outputs);
        var first = results[0];
        return new NetworkOutput(first.GetTensorDataAsSpan<float>().ToArray(), [.. first.GetTensorTypeAndShape().Shape.Select(n => (int)n)]);
    }

    public void Dispose() => _session.Dispose();
}
