using System.IO.Compression;
using System.Runtime.InteropServices;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using OpenCvSharp;

namespace GrainVision.Trainer;

/// <summary>
/// Drawn pictures kept in a folder, pixel for pixel: drawing takes most of a run's time, and another run with other features needs the same pictures.
/// </summary>
internal static class PictureFolder
{
    /// <summary>The picture of one seed: read where it is there, else made and kept.</summary>
    /// <param name="folder">Folder; empty: nothing is kept.</param>
    /// <param name="seed">Seed of the picture.</param>
    /// <param name="split">What it is kept for.</param>
    /// <param name="make">Draws it.</param>
    public static LabelledFace Get(string folder, int seed, Split split, Func<LabelledFace> make)
    {
        if (folder.Length == 0)
            return make();
        var file = Path.Combine(folder, $"{seed}.picture");
        if (!File.Exists(file))
            Write(file, make());
        return Read(file, split);
    }

    private static void Write(string file, LabelledFace face)
    {
        using var mat = face.Bgr();
        var bytes = new byte[mat.Total() * mat.ElemSize()];
        Marshal.Copy(mat.Data, bytes, 0, bytes.Length);
        // Renamed when whole: a run that is broken off leaves no half picture behind.
        using (var w = new BinaryWriter(new DeflateStream(File.Create(file + ".part"), CompressionLevel.Fastest)))
        {
            w.Write(face.Name);
            w.Write((int)face.View);
            w.Write(face.PixelsPerMm);
            Points(w, face.Corners);
            w.Write(face.Blemishes.Count);
            foreach (var b in face.Blemishes)
            {
                w.Write((int)b.Kind!.Value);
                w.Write(b.DiameterMm);
                Points(w, b.Outline);
            }

            w.Write(mat.Width);
            w.Write(mat.Height);
            w.Write(bytes);
        }

        File.Move(file + ".part", file, overwrite: true);
    }

    private static LabelledFace Read(string file, Split split)
    {
        using var r = new BinaryReader(new DeflateStream(File.OpenRead(file), CompressionMode.Decompress));
        var (name, view, pitch, corners) = (r.ReadString(), (View)r.ReadInt32(), r.ReadDouble(), Points(r));
        var blemishes = new List<TrueBlemish>();
        for (var n = r.ReadInt32(); n > 0; n--)
        {
            var (kind, diameter) = ((BlemishKind)r.ReadInt32(), r.ReadDouble());
            blemishes.Add(new TrueBlemish(kind, Points(r), diameter));
        }

        var (width, height) = (r.ReadInt32(), r.ReadInt32());
        var bytes = r.ReadBytes(width * height * 3);
        return new LabelledFace(name, Source.Synthetic, split, view, corners, pitch, blemishes, () =>
        {
            var mat = new Mat(height, width, MatType.CV_8UC3);
            Marshal.Copy(bytes, 0, mat.Data, bytes.Length);
            return mat;
        });
    }

    private static void Points(BinaryWriter w, IReadOnlyList<PointPx> points)
    {
        w.Write(points.Count);
        foreach (var p in points)
        {
            w.Write(p.X);
            w.Write(p.Y);
        }
    }

    private static PointPx[] Points(BinaryReader r)
    {
        var points = new PointPx[r.ReadInt32()];
        for (var i = 0; i < points.Length; i++)
            points[i] = new PointPx(r.ReadDouble(), r.ReadDouble());
        return points;
    }
}
