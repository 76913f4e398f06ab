using GrainVision.Grading.Quantities;

namespace GrainVision.Grading.Findings;

/// <summary>The photo that was measured.</summary>
/// <param name="Sha256">Of the bytes as received, lower-case hex.</param>
/// <param name="Width">Of the upright photo, px.</param>
/// <param name="Height">Of the upright photo, px.</param>
public sealed record PhotoFinding(string Sha256, int Width, int Height);

/// <summary>Size of the section in real units, where both sides could be seen.</summary>
/// <param name="FirstSideMm">Along side 1-2 of the outline, mm.</param>
/// <param name="SecondSideMm">Along side 2-3 of the outline, mm.</param>
public sealed record SectionSize(Measured FirstSideMm, Measured SecondSideMm);

/// <summary>
/// Everything that one photo gave: the contract's <c>measurement</c>, the same object in HTTP, files, log and pictures.
/// Null means that the view does not show it, or that <see cref="CannotSay"/> says why.
/// </summary>
public sealed record Measurement
{
    /// <summary>Identity, given by whoever keeps it; empty for a measurement that nobody keeps.</summary>
    public string Id { get; init; } = "";

    public required View View { get; init; }

    /// <summary>Kebab-case common name as the caller gave it, or null.</summary>
    public string? Species { get; init; }

    public required PhotoFinding Photo { get; init; }

    public required string PipelineVersion { get; init; }

    public required ScaleFinding Scale { get; init; }

    /// <summary>Corners 1 to 4 of the section in order round the piece, px.</summary>
    public required IReadOnlyList<PointPx> Outline { get; init; }

    public SectionSize? Size { get; init; }

    public RingFinding? Rings { get; init; }

    public RingAngleFinding? RingAngle { get; init; }

    public GrainFinding? Grain { get; init; }

    public IReadOnlyList<BlemishFinding> Blemishes { get; init; } = [];

    /// <summary>The one decision on the surface as a whole; null where it was not read for marks.</summary>
    public SurfaceFinding? Surface { get; init; }

    /// <summary>Of the printed check target: what was measured against what was printed. Null for wood.</summary>
    public CheckTargetFinding? CheckTarget { get; init; }

    /// <summary>20: the likeliest dismissed marks are listed up to this many.</summary>
    public const int MostDismissedMarks = 20;

    /// <summary>
    /// Marks that were looked at and taken for clear wood, dirt or a mark of the shop, likeliest blemish first. The verdict does not count
    /// them; they are listed, with their probability, so that nothing that was seen is hidden.
    /// </summary>
    public IReadOnlyList<BlemishFinding> DismissedMarks { get; init; } = [];

    public IReadOnlyList<CannotSay> CannotSay { get; init; } = [];

    public IReadOnlyList<Warning> Warnings { get; init; } = [];

    public Verdict? Verdict { get; init; }

    /// <summary>URL of the annotated picture; null where none is kept.</summary>
    public string? Picture { get; init; }

    /// <summary>The annotated picture in words, for a screen reader.</summary>
    public string? PictureAltText { get; init; }

    public IReadOnlyDictionary<string, double> TimingsMs { get; init; } = new Dictionary<string, double>();
}
