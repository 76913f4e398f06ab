using GrainVision.Grading.Findings;

namespace GrainVision.Synthesis;

/// <summary>
/// A whole board as a careful person photographs it: both ends, and each face end to end in one photo, or in two that overlap in its middle. What is strewn
/// over a face is drawn once, so that both photos show the same; a blemish shows on its own surface only, which is less than a real one shows.
/// </summary>
public sealed class BoardPhotographer
{
    /// <summary>1.55: an end is photographed from so much nearer than a face; the search for fine cracks asks for 9 px/mm there, and 6 on a face.</summary>
    private const double EndCloser = 1.55;

    /// <summary>30 mm: bench beyond either end of what is shown.</summary>
    private const double MarginMm = 30;

    /// <summary>80 mm: card or rule, and the gap to it.</summary>
    private const double PropMm = 80;

    /// <summary>35 mm: two photos of a face reach so far beyond its middle, so that the tape's inch on either leaves no gap.</summary>
    private const double OverlapMm = 35;

    /// <summary>400 mm: a longer face takes two photos.</summary>
    private const double LongestInOneMm = 400;

    private readonly BoardSpec _spec;
    private readonly Board _board;
    private readonly SeededRandom _random;
    private readonly int _seed;
    private readonly Dictionary<Surface, IReadOnlyList<BlemishKind>> _blemishes;

    /// <param name="spec">The board; at most 800 mm long.</param>
    /// <param name="seed">The same seed gives the same board and photos.</param>
    /// <param name="blemishes">By the surface that shows them.</param>
    public BoardPhotographer(BoardSpec spec, int seed, IReadOnlyDictionary<Surface, IReadOnlyList<BlemishKind>> blemishes)
    {
        ArgumentNullException.ThrowIfNull(spec);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(spec.LengthMm, 2 * LongestInOneMm);
        (_spec, _seed, _random) = (spec, seed, new SeededRandom((ulong)(uint)seed * 0x9E3779B97F4A7C15UL).Fork("board photos"));
        _board = new Board(spec, _random.Fork("board"));
        _blemishes = new Dictionary<Surface, IReadOnlyList<BlemishKind>>(blemishes);
    }

    /// <summary>Ends first, then the faces in order.</summary>
    public IReadOnlyList<BoardShot> Shots()
    {
        var half = (_spec.LengthMm / 2) - OverlapMm;
        var faces = new[] { Surface.Face1, Surface.Face2, Surface.Face3, Surface.Face4 };
        return
        [
            new(Surface.EndA, 0, false), new(Surface.EndB, 0, false),
            .. _spec.LengthMm <= LongestInOneMm
                ? faces.Select(f => new BoardShot(f, 0, true))
                : faces.SelectMany(f => new[] { new BoardShot(f, -half / 2, false), new BoardShot(f, half / 2, false) }),
        ];
    }

    /// <summary>The scene of a photo: its truth without a pixel painted.</summary>
    /// <param name="shot">Which.</param>
    /// <param name="care">How.</param>
    /// <param name="again">0 for the first photo of it, 1 for one that is taken again.</param>
    /// <param name="stationMm">Of a face: station of the outline's corner 1, mm from end A.</param>
    public Scene Scene(BoardShot shot, BoardCare care, int again, out double stationMm)
    {
        ArgumentNullException.ThrowIfNull(shot);
        ArgumentNullException.ThrowIfNull(care);
        var request = Request(shot, care, again);
        var bare = SceneBuilder.Build(request);
        var scene = _board.Put(bare, shot.Surface, _spec.LengthMm / 2);
        // Strewn over the whole surface as seen from far enough away, and then shown by each photo of it.
        var far = _board.Put(SceneBuilder.Build(request with { LookAtMm = 0, PixelsPerMm = 0.07 * care.FacePxPerMm, RotationDeg = 0 }), shot.Surface, _spec.LengthMm / 2);
        var strewn = FeatureSampler.Add(far, request with { Blemishes = _blemishes.GetValueOrDefault(shot.Surface) ?? [], Plain = !care.Harmless }, _random.Fork($"strew {shot.Surface}"));
        scene = scene with { Log = strewn.Log, Features = strewn.Features };
        var (left, _) = SurfaceOutline.ShownMm(scene);
        stationMm = (_spec.LengthMm / 2) + left;
        return scene;
    }

    private SceneRequest Request(BoardShot shot, BoardCare care, int again)
    {
        var end = shot.Surface <= Surface.EndB;
        var narrow = shot.Surface is Surface.Face2 or Surface.Face4;
        var across = end || narrow ? _spec.ThickMm : _spec.WideMm;
        var along = end ? _spec.WideMm : shot.Whole ? _spec.LengthMm : (_spec.LengthMm / 2) + OverlapMm;
        var perMm = care.FacePxPerMm * (end ? EndCloser : 1);
        // Cropped to what shows something, no squarer than a phone's 4:3.
        var heightPx = perMm * (across + PropMm + MarginMm);
        var widthPx = Math.Max(perMm * (along + (2 * MarginMm)), heightPx * 4 / 3);
        return new SceneRequest
        {
            Seed = (_seed * 16) + (int)shot.Surface + (shot.LookAtMm > 0 ? 8 : 0) + (again * 500_000_000),
            View = end ? View.End : View.Face,
            Difficulty = care.Difficulty,
            Megapixels = widthPx * heightPx / 1e6,
            Aspect = widthPx / heightPx,
            Species = _spec.Species,
            RingsPerInch = _spec.RingsPerInch,
            WidthMm = _spec.WideMm,
            ThicknessMm = _spec.ThickMm,
            LengthMm = end ? null : _spec.LengthMm,
            LookAtMm = shot.LookAtMm,
            NarrowFace = narrow,
            Scale = care.Scale,
            Card = care.Card?.Invoke(shot.Surface),
            RotationDeg = _random.Fork($"turn {shot.Surface} {shot.LookAtMm} {again}").Normal(0, 0.8),
            PixelsPerMm = perMm,
            Blemishes = [],
        };
    }
}
