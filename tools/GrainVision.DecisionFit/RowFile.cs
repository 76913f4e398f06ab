using System.IO.Compression;
using GrainVision.Grading.Findings;
using GrainVision.Measuring.Surfaces;

namespace GrainVision.DecisionFit;

/// <summary>Rows kept in a file: drawing and reading take nearly all of a run's time, and trees and decision can be fitted again without them.</summary>
internal static class RowFile
{
    public static void Write(string file, IReadOnlyList<SurfaceRow> rows)
    {
        using var w = new BinaryWriter(new DeflateStream(File.Create(file), CompressionLevel.Fastest));
        w.Write(RegionFeatures.Names.Count);
        w.Write(rows.Count);
        foreach (var (surface, regions) in rows)
        {
            w.Write(surface.Name);
            w.Write(surface.Drawn);
            w.Write((int)surface.Use);
            w.Write(surface.Half);
            w.Write((int)surface.View);
            w.Write(surface.PixelsPerMm);
            w.Write(surface.Marks.Count);
            foreach (var m in surface.Marks)
            {
                w.Write(m.Kind is { } kind ? (int)kind : -1);
                w.Write(m.DiameterMm);
                w.Write(m.Resolved);
            }

            w.Write(regions.Count);
            foreach (var r in regions)
            {
                w.Write(r.Class);
                w.Write(r.Mark);
                w.Write(r.On.Count);
                foreach (var k in r.On)
                    w.Write(k);
                w.Write((int)r.Found);
                w.Write(r.DiameterMm);
                foreach (var f in r.Features)
                    w.Write(f);
            }
        }
    }

    public static List<SurfaceRow> Read(string file)
    {
        using var r = new BinaryReader(new DeflateStream(File.OpenRead(file), CompressionMode.Decompress));
        if (r.ReadInt32() != RegionFeatures.Names.Count)
            throw new InvalidDataException("The rows hold other features than this program computes.");
        return [.. Enumerable.Range(0, r.ReadInt32()).Select(_ => Row(r))];
    }

    private static SurfaceRow Row(BinaryReader r)
    {
        var (name, drawn, use, half, view, pitch) = (r.ReadString(), r.ReadBoolean(), (Use)r.ReadInt32(), r.ReadInt32(), (View)r.ReadInt32(), r.ReadDouble());
        var marks = Enumerable.Range(0, r.ReadInt32()).Select(_ =>
        {
            var kind = r.ReadInt32();
            return new TrueMark(kind < 0 ? null : (BlemishKind)kind, [], r.ReadDouble(), r.ReadBoolean());
        }).ToList();
        var regions = Enumerable.Range(0, r.ReadInt32()).Select(_ =>
            new RegionCase(r.ReadInt32(), r.ReadInt32(), [.. Enumerable.Range(0, r.ReadInt32()).Select(_ => r.ReadInt32())], (MarkClass)r.ReadInt32(), r.ReadDouble(), [.. Enumerable.Range(0, RegionFeatures.Names.Count).Select(_ => r.ReadSingle())])).ToList();
        return new SurfaceRow(new KnownSurface(name, drawn, use, view, [], pitch, marks, () => throw new InvalidOperationException("No pixels.")) { Half = half }, regions);
    }
}
