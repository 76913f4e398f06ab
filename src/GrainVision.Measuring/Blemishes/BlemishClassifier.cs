using System.Text;
using System.Text.Json;
using GrainVision.Grading.Findings;
using Microsoft.ML;
using Microsoft.ML.Data;

namespace GrainVision.Measuring.Blemishes;

/// <summary>
/// Names candidates with calibrated probabilities. Gradient-boosted trees (Microsoft.ML, grown with LightGBM by
/// tools/GrainVision.Trainer), walked in managed code. Safe for use from many threads at once: it is only read.
/// </summary>
/// <remarks>
/// G. Ke et al., "LightGBM: a highly efficient gradient boosting decision tree", NeurIPS 2017.
/// </remarks>
internal sealed class BlemishClassifier
{
    private const string Folder = "Blemishes.";

    private static readonly Lazy<BlemishClassifier> Built = new(LoadEmbedded);

    private readonly MLContext _ml;
    private readonly ITransformer _trees;
    private readonly SchemaDefinition _schema;

    private BlemishClassifier(MLContext ml, ITransformer trees, BlemishCalibration calibration)
    {
        _ml = ml;
        _trees = trees;
        _schema = CandidateRow.Schema();
        Calibration = calibration;
    }

    /// <summary>The model that this program was built with.</summary>
    /// <exception cref="InvalidDataException">The model is not the one that its hash names, or was trained on other features: a broken build.</exception>
    public static BlemishClassifier Embedded => Built.Value;

    public BlemishCalibration Calibration { get; }

    /// <summary>A model from bytes.</summary>
    /// <param name="model">model.zip.</param>
    /// <param name="calibration">calibration.json.</param>
    public static BlemishClassifier Load(byte[] model, byte[] calibration)
    {
        var settings = JsonSerializer.Deserialize<BlemishCalibration>(calibration, ContractJson.Options) ?? throw new InvalidDataException("Empty calibration.");
        if (!settings.Features.SequenceEqual(BlemishFeatures.Names) || settings.Classes.Count != BlemishClasses.Count
            || settings.ReportFrom.Count != BlemishClasses.Count)
            throw new InvalidDataException("The blemish model was trained on other features than this program computes. Run tools/GrainVision.Trainer.");
        var ml = new MLContext(seed: 1);
        using var stream = new MemoryStream(model, writable: false);
        return new BlemishClassifier(ml, ml.Model.Load(stream, out _), settings);
    }

    /// <summary>Calibrated probabilities of each candidate in the order of <see cref="BlemishClasses"/>.</summary>
    public IReadOnlyList<double[]> Classify(IReadOnlyList<float[]> features)
    {
        if (features.Count == 0)
            return [];
        var view = _ml.Data.LoadFromEnumerable(features.Select(f => new CandidateRow { Features = f }), _schema);
        return [.. _trees.Transform(view).GetColumn<float[]>("Score").Select(s => Calibration.Apply(s.AsSpan(CandidateRow.Unused)))];
    }

    /// <summary>The model in this program by the start of its hashes, which are those of its folder under <c>models</c>: "blemishes model 1d84fb37 calibration 0a1b2c3d".</summary>
    public static string EmbeddedIdentity => $"blemishes model {EmbeddedModel.ShortHashOf(Folder + "model.zip")} calibration {EmbeddedModel.ShortHashOf(Folder + "calibration.json")}";

    private static BlemishClassifier LoadEmbedded()
    {
        var (model, calibration) = (EmbeddedModel.Read(Folder + "model.zip"), EmbeddedModel.Read(Folder + "calibration.json"));
        var hashes = Encoding.ASCII.GetString(EmbeddedModel.Read(Folder + "model.sha256"));
        foreach (var bytes in new[] { model, calibration })
        {
            if (!hashes.Contains(EmbeddedModel.HashOf(bytes), StringComparison.Ordinal))
                throw new InvalidDataException("The blemish model is not the one that its hash names.");
        }

        return Load(model, calibration);
    }
}

/// <summary>One candidate as the trees take it.</summary>
internal sealed class CandidateRow
{
    public float[] Features { get; set; } = [];

    /// <summary>
    /// 1: scores before the first class. Microsoft.ML 5.0.1's LightGBM takes the key's raw value, which starts at 1, for the class's
    /// number, leaves score 0 unused and would lump the last two classes together; one key more than classes keeps them apart.
    /// </summary>
    public const int Unused = 1;

    /// <summary>Class plus one: key 0 means "missing" to Microsoft.ML.</summary>
    public uint Label { get; set; }

    public float Weight { get; set; } = 1;

    public static SchemaDefinition Schema()
    {
        var schema = SchemaDefinition.Create(typeof(CandidateRow));
        schema[nameof(Features)].ColumnType = new VectorDataViewType(NumberDataViewType.Single, BlemishFeatures.Names.Count);
        schema[nameof(Label)].ColumnType = new KeyDataViewType(typeof(uint), BlemishClasses.Count + Unused);
        return schema;
    }
}
