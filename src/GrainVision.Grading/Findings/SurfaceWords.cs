namespace GrainVision.Grading.Findings;

/// <summary>The trade's words for the surfaces of a piece: the same on cards, in reports and tables.</summary>
public static class SurfaceWords
{
    /// <summary>Lower case, such as "end A" or "face 3".</summary>
    public static string From(Surface surface) => surface switch
    {
        Surface.EndA => "end A",
        Surface.EndB => "end B",
        Surface.Face1 => "face 1",
        Surface.Face2 => "face 2",
        Surface.Face3 => "face 3",
        Surface.Face4 => "face 4",
        _ => throw new ArgumentOutOfRangeException(nameof(surface), surface, "No such surface."),
    };
}
