using GrainVision.Grading.Findings;
using GrainVision.Measuring.Networks;
using OpenCvSharp;

namespace GrainVision.Measuring.Surfaces;

/// <summary>
/// Reads a surface: a network of convolutions gives each place's chance of being a knot, a crack and so on (<see cref="MarkClass"/>). A large surface is
/// read in overlapping tiles; what is kept of each lies further from its rim than the network sees, so the answer is that of the whole.
/// </summary>
/// <remarks>
/// O. Ronneberger, P. Fischer, T. Brox, "U-Net: convolutional networks for biomedical image segmentation", MICCAI 2015, also for the overlapping tiles. Taught by
/// tools/network-training.
/// </remarks>
internal sealed class SurfaceNetwork(OnnxNetwork network, IReadOnlyList<string> classes)
{
    private const string FaceFolder = "Surface";

    private const string EndFolder = "SurfaceEnd";

    /// <summary>4 MP: what is read at once, in some 300 MB; a face of 700 by 150 mm.</summary>
    private const int MostAtOnce = 4_000_000;

    /// <summary>1,280 px: side of a larger surface's tile with its overlap, in some 120 MB.</summary>
    private const int TileSide = 1280;

    /// <summary>256 px: further than the network sees, 194 px: 8 pixels of a sixteenth of the resolution, 3 of an eighth, and so on down.</summary>
    private const int Overlap = 256;

    private static readonly Lazy<SurfaceNetwork> OfFaces = new(() => Load(FaceFolder));

    private static readonly Lazy<SurfaceNetwork> OfEnds = new(() => Load(EndFolder));

    private readonly int[] _channels = MarkClasses.Channels(classes);

    /// <summary>The network that this program was built with for ends or for faces.</summary>
    public static SurfaceNetwork Embedded(View view) => (view == View.End ? OfEnds : OfFaces).Value;

    /// <summary>Where the files of a view's network, trees and decision lie among the program's models.</summary>
    public static string Folder(View view) => view == View.End ? EndFolder : FaceFolder;

    /// <param name="picture">The surface.</param>
    /// <param name="tileSide">Side of a tile, px; null: as its size asks for.</param>
    public SurfaceMaps Read(SurfacePicture picture, int? tileSide = null)
    {
        var (width, height) = (picture.Bgr.Width, picture.Bgr.Height);
        var mostSide = tileSide ?? (width * height <= MostAtOnce ? Math.Max(width, height) : TileSide);
        // The middle of a map's pixel lies between two of the picture's.
        var origin = new Point2d(picture.OriginMm.X + (0.5 / picture.PitchPxPerMm), picture.OriginMm.Y + (0.5 / picture.PitchPxPerMm));
        var maps = new SurfaceMaps(width / 2, height / 2, picture.PitchPxPerMm / 2, origin);
        foreach (var c in Enum.GetValues<MarkClass>().Where(c => _channels[(int)c] >= 0))
            maps[c] = new ushort[maps.Width * maps.Height];
        foreach (var rows in Cuts(height, mostSide))
        {
            foreach (var columns in Cuts(width, mostSide))
                ReadTile(picture.Bgr, maps, columns, rows);
        }

        return maps;
    }

    private static SurfaceNetwork Load(string folder) =>
        new(OnnxNetwork.LoadEmbedded(folder), MarkClasses.ReadNames(EmbeddedModel.Read(folder + ".classes.json")));

    private void ReadTile(Mat bgr, SurfaceMaps maps, Cut columns, Cut rows)
    {
        var (width, height) = (columns.To - columns.From, rows.To - rows.From);
        var output = network.Run(Input(bgr, columns.From, rows.From, width, height), 1, 3, height, width).Values;
        var (w, h) = (width / 2, height / 2);
        if (output.Length != classes.Count * w * h)
            throw new InvalidDataException("The surface network's output has another size than its classes and its input say.");
        foreach (var c in Enum.GetValues<MarkClass>())
        {
            if (maps[c] is not { } map)
                continue;
            var plane = output.AsSpan(_channels[(int)c] * w * h, w * h);
            for (var y = rows.KeepFrom / 2; y < rows.KeepTo / 2; y++)
            {
                var from = plane.Slice(((y - (rows.From / 2)) * w) + ((columns.KeepFrom - columns.From) / 2), (columns.KeepTo - columns.KeepFrom) / 2);
                var to = map.AsSpan((y * maps.Width) + (columns.KeepFrom / 2), from.Length);
                for (var x = 0; x < from.Length; x++)
                    to[x] = (ushort)((from[x] * SurfaceMaps.One) + 0.5f);
            }
        }
    }

    /// <summary>Red, green, blue, one plane after the other, (value - 128) / 64: as it was taught.</summary>
    private static unsafe float[] Input(Mat bgr, int left, int top, int width, int height)
    {
        var input = new float[3 * width * height];
        fixed (float* to = input)
        {
            float* red = to, green = to + (width * height), blue = green + (width * height);
            for (var y = 0; y < height; y++)
            {
                var row = (byte*)bgr.Ptr(top + y) + (3 * left);
                for (var x = 0; x < width; x++, row += 3)
                {
                    *blue++ = (row[0] - 128) * (1 / 64f);
                    *green++ = (row[1] - 128) * (1 / 64f);
                    *red++ = (row[2] - 128) * (1 / 64f);
                }
            }
        }

        return input;
    }

    /// <summary>A stretch of one axis: what is read, and what of it is kept. All multiples of 16, so that every tile is halved in step with the whole.</summary>
    private readonly record struct Cut(int From, int To, int KeepFrom, int KeepTo);

    private static IEnumerable<Cut> Cuts(int length, int mostSide)
    {
        var keep = length <= mostSide ? length : mostSide - (2 * Overlap);
        for (var from = 0; from < length; from += keep)
        {
            var to = Math.Min(length, from + keep);
            yield return new Cut(Math.Max(0, from - Overlap), Math.Min(length, to + Overlap), from, to);
        }
    }
}
