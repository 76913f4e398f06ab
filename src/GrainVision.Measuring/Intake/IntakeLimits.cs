namespace GrainVision.Measuring.Intake;

/// <summary>What a photo may cost before it is refused. Checked on the header, before any pixel is decoded.</summary>
public sealed record IntakeLimits
{
    /// <summary>The product's limits.</summary>
    public static IntakeLimits Default { get; } = new();

    /// <summary>Largest file, bytes. 60 MB: a 64 MP phone JPEG at the best quality is about 40 MB.</summary>
    public long MaxBytes { get; init; } = 60_000_000;

    /// <summary>Most pixels, width times height. 64 MP: the largest phone sensor setting in use; 192 MB as 8-bit colour.</summary>
    public long MaxPixels { get; init; } = 64_000_000;

    /// <summary>
    /// Most pixels of a JPEG in several passes (progressive). 40 MP: such a file keeps all its coefficients until the end,
    /// up to 6 bytes a pixel beside the picture's 3, so a lower limit holds the same memory.
    /// </summary>
    public long MaxMultiPassPixels { get; init; } = 40_000_000;

    /// <summary>Most passes of a JPEG. 100: encoders write about 10; each pass walks the whole picture again.</summary>
    public int MaxPasses { get; init; } = 100;

    /// <summary>Shortest side, px. 64: less cannot show four rings at the four pixels a ring that counting needs, with wood to spare.</summary>
    public int MinSidePx { get; init; } = 64;

    /// <summary>Longest side, px. 30,000: a longer one is a strip that no camera makes.</summary>
    public int MaxSidePx { get; init; } = 30_000;

    /// <summary>
    /// Memory that one decoding may hold at a time, bytes. 640 MiB: what 64 MP need with an alpha channel (4 bytes) or 40 MP in several
    /// passes (9 bytes), with room for strips. With one turned copy of the picture it stays below the 1 GB a worker may take.
    /// </summary>
    public long MaxDecodingBytes { get; init; } = 640L << 20;
}
