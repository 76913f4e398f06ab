using System.Text.Json;
using GrainVision.Grading.Quantities;

namespace GrainVision.Accuracy.Real;

/// <summary>A mark that a person outlined (fixtures/surfaces/README.md).</summary>
/// <param name="Kind">Such as knot, crack, pocket.</param>
/// <param name="Box">Left, top, right, bottom, px.</param>
/// <param name="Polygon">Its rim, px, where drawn.</param>
/// <param name="Centre">A line's middle line, px, where drawn.</param>
/// <param name="Sure">False: counts neither for nor against a reader.</param>
internal sealed record RealMark(string Kind, double[] Box, double[][]? Polygon, double[][]? Centre, bool Sure)
{
    /// <summary>Points along the middle of a line; of a polygon without one its rim.</summary>
    public IReadOnlyList<PointPx> Line => [.. (Centre ?? Polygon ?? []).Select(p => new PointPx(p[0], p[1]))];

    public bool Holds(double x, double y, double margin) => x >= Box[0] - margin && x <= Box[2] + margin && y >= Box[1] - margin && y <= Box[3] + margin;
}

/// <summary>A real picture with outlined marks.</summary>
internal sealed record RealPicture(string File, string? Split, bool InFixtures, bool Clear, int Width, int Height, double[]? Wood, IReadOnlyList<RealMark> Marks)
{
    private static readonly string[] Blemishes = ["knot", "crack", "pocket", "hole", "pith", "dent"];

    public string Name => Path.GetFileNameWithoutExtension(File);

    public bool QuarterSawn => File.Contains("quarter-sawn", StringComparison.Ordinal);

    /// <summary>Marks that are surely a blemish.</summary>
    public IEnumerable<RealMark> Sure => Marks.Where(m => m.Sure && Blemishes.Contains(m.Kind));

    /// <summary>No blemish is outlined, not even an unsure one.</summary>
    public bool Unlabelled => !Marks.Any(m => Blemishes.Contains(m.Kind));

    /// <summary>The wood's box as an outline, moved in by so many px. Side 1-2 runs along x, as the fibres do.</summary>
    public IReadOnlyList<PointPx> WoodOutline(double inset)
    {
        var w = Wood!;
        return Box(w[0] + inset, w[1] + inset, w[2] - 1 - inset, w[3] - 1 - inset);
    }

    public static IReadOnlyList<PointPx> Box(double x0, double y0, double x1, double y1) => [new(x0, y0), new(x1, y0), new(x1, y1), new(x0, y1)];
}

/// <summary>The real pictures of fixtures/ and what is known of them.</summary>
internal sealed class RealFixtures
{
    private static readonly JsonSerializerOptions Json = new(JsonSerializerDefaults.Web);

    private readonly string _folder;

    public RealFixtures()
    {
        var folder = new DirectoryInfo(AppContext.BaseDirectory);
        while (!File.Exists(Path.Combine(folder.FullName, "GrainVision.sln")))
            folder = folder.Parent ?? throw new InvalidOperationException("GrainVision.sln not found above the program.");
        _folder = Path.Combine(folder.FullName, "fixtures");
        Faces = Read("labels.json");
        Sections = [.. Read("other.json").Where(p => p.InFixtures).OrderBy(p => p.File, StringComparer.Ordinal)];
    }

    /// <summary>221 sawn faces of spruce and pine, fibres along x, 6 px/mm by assumption.</summary>
    public IReadOnlyList<RealPicture> Faces { get; }

    /// <summary>22 sections of R. B. Hough's plates, fibres along x; no scale, 8 px/mm by assumption. The surface model was taught on every other one, from the first.</summary>
    public IReadOnlyList<RealPicture> Sections { get; }

    public byte[] Bytes(string file) => File.ReadAllBytes(Path.Combine(_folder, file.Contains('/', StringComparison.Ordinal) ? file : "surfaces/" + file));

    private IReadOnlyList<RealPicture> Read(string file) =>
        JsonSerializer.Deserialize<PictureList>(File.ReadAllText(Path.Combine(_folder, "surfaces", file)), Json)!.Pictures;

    private sealed record PictureList(IReadOnlyList<RealPicture> Pictures);
}
