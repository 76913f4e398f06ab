using System.Text;
using System.Text.Json;
using GrainVision.Grading.Findings;
using GrainVision.Measuring.Networks;
using Microsoft.ML;
using Microsoft.ML.Data;

namespace GrainVision.Measuring.Surfaces;

/// <summary>
/// Says what a region is, with probabilities that mean what they say. Gradient-boosted trees (Microsoft.ML, grown with LightGBM by tools/GrainVision.DecisionFit), walked in
/// managed code. Safe for use from many threads at once: it is only read.
/// </summary>
/// <remarks>
/// G. Ke et al., "LightGBM: a highly efficient gradient boosting decision tree", NeurIPS 2017.
/// </remarks>
internal sealed class RegionTrees
{
    private static readonly Lazy<RegionTrees> OfFaces = new(() => LoadEmbedded(View.Face));

    private static readonly Lazy<RegionTrees> OfEnds = new(() => LoadEmbedded(View.End));

    private readonly MLContext _ml;
    private readonly ITransformer _trees;
    private readonly SchemaDefinition _schema;

    private RegionTrees(MLContext ml, ITransformer trees, SurfaceDecision decision)
    {
        _ml = ml;
        _trees = trees;
        _schema = RegionRow.Schema();
        Decision = decision;
    }

    /// <summary>The trees that this program was built with for ends or for faces.</summary>
    /// <exception cref="InvalidDataException">They are not those that their hash names, or were grown for other features or another network: a broken build.</exception>
    public static RegionTrees Embedded(View view) => (view == View.End ? OfEnds : OfFaces).Value;

    public SurfaceDecision Decision { get; }

    /// <summary>Network, trees and decision of a view by the start of their hashes, which are those of models/surface and models/surface-end.</summary>
    public static string IdentityOf(View view)
    {
        var folder = SurfaceNetwork.Folder(view);
        return $"{OnnxNetwork.IdentityOf(folder)}, its trees {EmbeddedModel.ShortHashOf(folder + ".regions.zip")} decision {EmbeddedModel.ShortHashOf(folder + ".decision.json")}";
    }

    /// <param name="trees">regions.zip.</param>
    /// <param name="decision">decision.json.</param>
    public static RegionTrees Load(byte[] trees, byte[] decision)
    {
        var settings = JsonSerializer.Deserialize<SurfaceDecision>(decision, ContractJson.Options) ?? throw new InvalidDataException("Empty decision.");
        if (!settings.Features.SequenceEqual(RegionFeatures.Names) || settings.Classes.Count != BlemishClasses.Count)
            throw new InvalidDataException("The surface's trees were grown for other features than this program computes. Run tools/GrainVision.DecisionFit.");
        var ml = new MLContext(seed: 1);
        using var stream = new MemoryStream(trees, writable: false);
        return new RegionTrees(ml, ml.Model.Load(stream, out _), settings);
    }

    /// <summary>Calibrated probabilities of each region in the order of <see cref="BlemishClasses"/>.</summary>
    public IReadOnlyList<double[]> Classify(IReadOnlyList<float[]> features)
    {
        if (features.Count == 0)
            return [];
        var view = _ml.Data.LoadFromEnumerable(features.Select(f => new RegionRow { Features = f }), _schema);
        return [.. _trees.Transform(view).GetColumn<float[]>("Score").Select(s => Decision.Calibrate(s.AsSpan(RegionRow.Unused)))];
    }

    private static RegionTrees LoadEmbedded(View view)
    {
        byte[] Read(string file) => EmbeddedModel.Read($"{SurfaceNetwork.Folder(view)}.{file}");
        var (trees, decision) = (Read("regions.zip"), Read("decision.json"));
        var hashes = Encoding.ASCII.GetString(Read("decision.sha256"));
        if (!hashes.Contains(EmbeddedModel.HashOf(trees), StringComparison.Ordinal) || !hashes.Contains(EmbeddedModel.HashOf(decision), StringComparison.Ordinal))
            throw new InvalidDataException("The surface's trees or decision are not those that their hash names.");
        var loaded = Load(trees, decision);
        if (loaded.Decision.Network != EmbeddedModel.HashOf(Read("model.onnx")))
            throw new InvalidDataException("The surface's decision was fitted to another network. Run tools/GrainVision.DecisionFit.");
        return loaded;
    }
}

/// <summary>One region as the trees take it.</summary>
internal sealed class RegionRow
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
        var schema = SchemaDefinition.Create(typeof(RegionRow));
        schema[nameof(Features)].ColumnType = new VectorDataViewType(NumberDataViewType.Single, RegionFeatures.Names.Count);
        schema[nameof(Label)].ColumnType = new KeyDataViewType(typeof(uint), BlemishClasses.Count + Unused);
        return schema;
    }
}
