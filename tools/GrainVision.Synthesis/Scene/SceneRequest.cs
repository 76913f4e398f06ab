using GrainVision.Grading.Findings;

namespace GrainVision.Synthesis;

/// <summary>How hard a photo is to measure.</summary>
public enum Difficulty
{
    /// <summary>Good light, nearly square on, at least 10 px a ring.</summary>
    Easy,

    /// <summary>A careful phone photo in a shop: at least 6 px a ring.</summary>
    Medium,

    /// <summary>A poor photo: tilt to 25 degrees, blur, dim or glaring light, down to 3 px a ring.</summary>
    Hard,
}

/// <summary>What lies beside the piece to give the scale.</summary>
public enum ScaleProp
{
    None,
    MmRule,
    InchRule,
    Card,
}

/// <summary>
/// What to ask of the synthesiser. Only <see cref="Seed"/> and <see cref="View"/> are needed; every value left null is drawn from
/// the seed, each from a stream of its own, so that fixing one does not change the others.
/// </summary>
public sealed record SceneRequest
{
    public int Seed { get; init; } = 1;

    public View View { get; init; } = View.End;

    public Difficulty Difficulty { get; init; } = Difficulty.Medium;

    public double Megapixels { get; init; } = 2;

    /// <summary>Width over height of a photo that was cropped; null is 4:3, as phones have it, now and then held upright.</summary>
    public double? Aspect { get; init; }

    public string? Species { get; init; }

    /// <summary>Mean rings per inch over the radial path, 3 to 40.</summary>
    public double? RingsPerInch { get; init; }

    /// <summary>All rings equally wide.</summary>
    public bool ConstantRings { get; init; }

    /// <summary>Exact ring angle at the middle of the piece's end, degrees, 0 to 90.</summary>
    public double? RingAngleDeg { get; init; }

    /// <summary>Distance of the pith from the middle of the section, mm; small values box the pith.</summary>
    public double? PithDistanceMm { get; init; }

    /// <summary>Wide side of the piece's end, mm.</summary>
    public double? WidthMm { get; init; }

    /// <summary>Narrow side of the piece's end, mm.</summary>
    public double? ThicknessMm { get; init; }

    /// <summary>Length of the piece shown on a face, mm; longer than the photo shows only a part.</summary>
    public double? LengthMm { get; init; }

    /// <summary>
    /// Face only: place along the face that the photo looks at and its rule or card lies beside, mm from the middle of the face, which stays in the photo.
    /// </summary>
    public double LookAtMm { get; init; }

    /// <summary>Face only: true for the narrow face (thickness), false for the wide one.</summary>
    public bool? NarrowFace { get; init; }

    /// <summary>Exact slope of the fibres in the photographed face, tangent, signed as in the contract.</summary>
    public double? Slope { get; init; }

    /// <summary>Spiral grain, degrees.</summary>
    public double? SpiralDeg { get; init; }

    /// <summary>Taper of the ring surfaces, mm per metre.</summary>
    public double? TaperMmPerM { get; init; }

    public ScaleProp? Scale { get; init; }

    /// <summary>With <see cref="ScaleProp.InchRule"/>: parts of an inch, such as 20 of an engineer's scale; null draws 16 or 32 from the seed.</summary>
    public int? RulePartsPerInch { get; init; }

    /// <summary>With <see cref="ScaleProp.Card"/>: the piece card to lay beside the piece; null for the plain one.</summary>
    public PieceCard? Card { get; init; }

    /// <summary>Scale of the photo at the piece's middle; null frames the piece.</summary>
    public double? PixelsPerMm { get; init; }

    public double? TiltDeg { get; init; }

    /// <summary>Turn of the piece in the photo, degrees clockwise.</summary>
    public double? RotationDeg { get; init; }

    /// <summary>Radial lens distortion at the corner, share of the half diagonal.</summary>
    public double? LensK1 { get; init; }

    public double? BlurSigmaPx { get; init; }

    /// <summary>Standard deviation of the noise at mid grey, 8-bit levels.</summary>
    public double? NoiseLevels { get; init; }

    public int? JpegQuality { get; init; }

    public Bench? Bench { get; init; }

    /// <summary>No saw marks, dirt, marks, ragged arrises, uneven light, glare, wobble, eccentricity or false rings: the bare geometry.</summary>
    public bool Plain { get; init; }

    /// <summary>Rarer woods, rings, marks and blemishes besides those of the seed; drawn from streams of their own, so that without it the seed's photo stays as it is.</summary>
    public bool Variety { get; init; }

    /// <summary>Blemishes asked for by kind; null draws them from the seed, empty is clear wood.</summary>
    public IReadOnlyList<BlemishKind>? Blemishes { get; init; }
}
