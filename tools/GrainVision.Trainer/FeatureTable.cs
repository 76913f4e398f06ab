using GrainVision.Measuring.Blemishes;

namespace GrainVision.Trainer;

/// <summary>One candidate of the table.</summary>
/// <param name="Face">Index of its surface.</param>
/// <param name="Class">Its class.</param>
/// <param name="Doubtful">Not trained on, not counted.</param>
/// <param name="Truth">Index of the true blemish that it lies on, or -1.</param>
/// <param name="DiameterMm">Measured, mm.</param>
/// <param name="Features">In the order of <see cref="BlemishFeatures.Names"/>.</param>
internal sealed record TableRow(int Face, int Class, bool Doubtful, int Truth, float DiameterMm, float[] Features);

/// <summary>What is kept of a surface.</summary>
internal sealed record TableFace(string Name, Source Source, Split Split, bool End, float PixelsPerMm, float Weight, IReadOnlyList<(int Class, float DiameterMm)> Truths);

/// <summary>All candidates of all surfaces.</summary>
internal sealed class FeatureTable
{
    public List<TableFace> Faces { get; } = [];

    public List<TableRow> Rows { get; } = [];

    public void Add(LookedAt look)
    {
        var face = look.Face;
        // -1: annotated, but of no class that is learnt.
        Faces.Add(new TableFace(
            face.Name, face.Source, face.Split, face.View == Grading.Findings.View.End, (float)face.PixelsPerMm, face.Weight,
            [.. face.Blemishes.Select(b => (b.Kind is null ? -1 : BlemishClasses.IndexOf(b.Kind), (float)b.DiameterMm))]));
        for (var i = 0; i < look.Candidates.Count; i++)
        {
            var label = look.Labels[i];
            Rows.Add(new TableRow(
                Faces.Count - 1, BlemishClasses.IndexOf(label.Kind), label.Doubtful, label.Truth, (float)look.Candidates[i].Shape.DiameterMm, look.Features[i]));
        }
    }

    /// <summary>SHA-256 of all of it: two runs that agree here were trained on the same numbers.</summary>
    public string Hash()
    {
        using var stream = new MemoryStream();
        Save(stream);
        return BlemishClassifier.HashOf(stream.ToArray());
    }

    public void Save(Stream stream)
    {
        using var w = new BinaryWriter(stream, System.Text.Encoding.UTF8, leaveOpen: true);
        w.Write(Faces.Count);
        foreach (var f in Faces)
        {
            w.Write(f.Name);
            w.Write((int)f.Source);
            w.Write((int)f.Split);
            w.Write(f.End);
            w.Write(f.PixelsPerMm);
            w.Write(f.Weight);
            w.Write(f.Truths.Count);
            foreach (var (c, d) in f.Truths)
            {
                w.Write(c);
                w.Write(d);
            }
        }

        w.Write(Rows.Count);
        foreach (var r in Rows)
        {
            w.Write(r.Face);
            w.Write(r.Class);
            w.Write(r.Doubtful);
            w.Write(r.Truth);
            w.Write(r.DiameterMm);
            foreach (var v in r.Features)
                w.Write(v);
        }
    }

    public static FeatureTable Load(Stream stream)
    {
        using var r = new BinaryReader(stream);
        var table = new FeatureTable();
        for (var n = r.ReadInt32(); n > 0; n--)
        {
            var (name, source, split, end, pitch, weight) = (r.ReadString(), (Source)r.ReadInt32(), (Split)r.ReadInt32(), r.ReadBoolean(), r.ReadSingle(), r.ReadSingle());
            var truths = new List<(int, float)>();
            for (var k = r.ReadInt32(); k > 0; k--)
                truths.Add((r.ReadInt32(), r.ReadSingle()));
            table.Faces.Add(new TableFace(name, source, split, end, pitch, weight, truths));
        }

        for (var n = r.ReadInt32(); n > 0; n--)
        {
            var (face, cls, doubtful, truth, diameter) = (r.ReadInt32(), r.ReadInt32(), r.ReadBoolean(), r.ReadInt32(), r.ReadSingle());
            var features = new float[BlemishFeatures.Names.Count];
            for (var k = 0; k < features.Length; k++)
                features[k] = r.ReadSingle();
            table.Rows.Add(new TableRow(face, cls, doubtful, truth, diameter, features));
        }

        return table;
    }
}
