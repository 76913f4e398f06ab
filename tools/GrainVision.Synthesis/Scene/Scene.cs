using GrainVision.Grading.Findings;

namespace GrainVision.Synthesis;

/// <summary>A plane through the log: the photographed surface or one beside it.</summary>
/// <param name="Origin">Log coordinates of the plane's origin, mm.</param>
/// <param name="Axis1">Unit vector in the log along x.</param>
/// <param name="Axis2">Unit vector in the log along y.</param>
/// <param name="IsEnd">True for a crosscut.</param>
/// <param name="ReferenceRadiusMm">Ring radius in its middle: scales textures that run round the log.</param>
public sealed record WoodPlane(Vec3 Origin, Vec3 Axis1, Vec3 Axis2, bool IsEnd, double ReferenceRadiusMm)
{
    /// <summary>Log coordinates of a place of the plane.</summary>
    public Vec3 At(double x, double y) => Origin + (Axis1 * x) + (Axis2 * y);
}

/// <summary>How this piece of wood looks; nothing here moves a ring.</summary>
internal sealed record WoodLook
{
    public required SpeciesLook Species { get; init; }

    public double Brightness { get; init; } = 1;

    /// <summary>Diameter of the finest fibre streaks drawn, mm.</summary>
    public double FibreMm { get; init; } = 0.2;

    public double FibreContrast { get; init; } = 0.06;

    public double RayContrast { get; init; } = 0.05;

    public double CloudContrast { get; init; } = 0.04;

    /// <summary>Reference radius beyond which the wood is sapwood, mm.</summary>
    public double SapwoodFromMm { get; init; } = 1e9;

    /// <summary>0 where sap and heart look alike, 1 for the species' full heartwood tint.</summary>
    public double HeartwoodStrength { get; init; } = 0.5;
}

/// <summary>Light and camera beyond geometry.</summary>
public sealed record Optics
{
    /// <summary>Gaussian blur of lens and focus, px.</summary>
    public double BlurSigmaPx { get; init; }

    /// <summary>Length of a hand-shake smear, px.</summary>
    public double MotionPx { get; init; }

    public double MotionRad { get; init; }

    /// <summary>Noise at mid grey, 8-bit levels (shot noise grows with the root of the light).</summary>
    public double NoiseLevels { get; init; }

    /// <summary>Light lost in the corners, 0 to 1.</summary>
    public double Vignette { get; init; }

    /// <summary>Fall of the light across the picture, 0 to 1.</summary>
    public double LightFall { get; init; }

    public double LightFallRad { get; init; }

    /// <summary>Brightness of a soft reflection on the surface, 0 (none) to 1.</summary>
    public double Glare { get; init; }

    /// <summary>Middle of the reflection as shares of width and height.</summary>
    public (double X, double Y) GlareAt { get; init; }

    /// <summary>Radius of the reflection as a share of the width.</summary>
    public double GlareSize { get; init; } = 0.15;

    public double Exposure { get; init; } = 1;

    /// <summary>Warmth of the light: factor on red, its inverse on blue.</summary>
    public double Warmth { get; init; } = 1;

    /// <summary>Sharpening by the camera, 0 to 1.</summary>
    public double Sharpening { get; init; }

    public int JpegQuality { get; init; } = 92;
}

/// <summary>A rule or card beside the piece: where its left top corner lies and how it is turned, in surface mm.</summary>
public sealed record PropPlacement(double X, double Y, double TurnRad);

/// <summary>Everything that one photo shows, as numbers: rendered to pixels and told as truth from the same object.</summary>
public sealed record Scene
{
    public required int Seed { get; init; }

    public required View View { get; init; }

    public required Difficulty Difficulty { get; init; }

    public required LogModel Log { get; init; }

    public required RingSequence Rings { get; init; }

    /// <summary>The photographed surface; its origin is the surface's middle.</summary>
    public required WoodPlane Surface { get; init; }

    /// <summary>Size along side 1-2, mm. Of a face: of the piece, which may reach beyond the photo.</summary>
    public required double Size1Mm { get; init; }

    /// <summary>Size along side 2-3, mm.</summary>
    public required double Size2Mm { get; init; }

    /// <summary>Size of the piece away from the camera, mm.</summary>
    public required double DepthMm { get; init; }

    public required Camera Camera { get; init; }

    public required Optics Optics { get; init; }

    public required Bench Bench { get; init; }

    public required ScaleProp ScaleProp { get; init; }

    /// <summary>What the card beside the piece says; null for a plain card or none.</summary>
    public PieceCard? Card { get; init; }

    public RuleSpec? Rule { get; init; }

    public RuleLook? RuleLook { get; init; }

    public PropPlacement? Prop { get; init; }

    /// <summary>Size of what lies beside the piece, mm; 0 where nothing does.</summary>
    public double PropLengthMm { get; init; }

    public double PropWidthMm { get; init; }

    public SurfaceFinish EndFinish { get; init; } = new();

    public SurfaceFinish FaceFinish { get; init; } = new();

    public string Species => Look.Species.Name;

    /// <summary>Blemishes and what only looks like them.</summary>
    internal IReadOnlyList<Feature> Features { get; init; } = [];

    internal WoodLook Look { get; init; } = new() { Species = SpeciesLook.All[0] };
}
