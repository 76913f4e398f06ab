using GrainVision.Measuring;
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

    /// <summary>
    /// Rows that are trained and calibrated on. A small piece of a stain or shake of which a piece at least twice as long is there too is left out:
    /// alone it looks like any shadow, and taught as a stain it makes every shadow one.
    /// </summary>
    public IEnumerable<TableRow> Taught(Split split)
    {
        var longest = BlemishFeatures.Names.Index().First(n => n.Item == "longest").Index;
        var greatest = Rows.Where(r => r.Truth >= 0).GroupBy(r => (r.Face, r.Truth)).ToDictionary(g => g.Key, g => g.Max(r => r.Features[longest]));
        // The feature is a logarithm: ln 2 is half as long.
        return Rows.Where(r => !r.Doubtful && Faces[r.Face].Split == split
            && !(BlemishClasses.KindOf(r.Class) is Grading.Findings.BlemishKind.Stain or Grading.Findings.BlemishKind.ShakeOrSplit
                && r.Truth >= 0 && r.Features[longest] < greatest[(r.Face, r.Truth)] - (float)Math.Log(2)));
    }

    /// <summary>Takes over the synthetic surfaces of another table, behind its own.</summary>
    public void AddSynthetic(FeatureTable other)
    {
        var place = new int[other.Faces.Count];
        for (var f = 0; f < place.Length; f++)
        {
            place[f] = other.Faces[f].Source == Source.Synthetic ? Faces.Count : -1;
            if (place[f] >= 0)
                Faces.Add(other.Faces[f]);
        }

        Rows.AddRange(other.Rows.Where(r => place[r.Face] >= 0).Select(r => r with { Face = place[r.Face] }));
    }

    /// <summary>SHA-256 of all of it: two runs that agree here were trained on the same numbers.</summary>
    public string Hash()
    {
        using var stream = new MemoryStream();
        Save(stream);
        return EmbeddedModel.HashOf(stream.ToArray());
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
            // Context follows from the rows of the surface; it is computed again when read.
            foreach (var v in r.Features.AsSpan(0, BlemishFeatures.OwnNames.Count))
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
            var features = new float[BlemishFeatures.OwnNames.Count];
            for (var k = 0; k < features.Length; k++)
                features[k] = r.ReadSingle();
            table.Rows.Add(new TableRow(face, cls, doubtful, truth, diameter, features));
        }

        var rows = table.Rows.ToList();
        table.Rows.Clear();
        foreach (var face in rows.GroupBy(r => r.Face))
            table.Rows.AddRange(face.Zip(ContextFeatures.Append([.. face.Select(r => r.Features)]), (row, f) => row with { Features = f }));
        return table;
    }
}
