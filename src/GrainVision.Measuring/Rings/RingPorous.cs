namespace GrainVision.Measuring.Rings;

/// <summary>
/// Whether a species is ring-porous, so that its rings start with a dark band of pores and end in light, dense latewood: the reverse of a
/// softwood's. Botany of the genera, common knowledge.
/// </summary>
internal static class RingPorous
{
    private static readonly string[] Genera = ["ash", "oak", "elm", "hickory", "chestnut", "locust", "catalpa", "hackberry"];

    /// <param name="species">Kebab-case common name, or null: then a softwood is assumed.</param>
    public static bool Is(string? species) => species is not null && Genera.Contains(species.Split('-', ' ', '_')[^1].ToLowerInvariant());
}
