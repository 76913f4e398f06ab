
namespace GrainVision.Synthesis;

/// <summary>Colour as a camera would write it, sRGB 0 to 255.</summary>
internal readonly record struct Srgb(double R, double G, double B)
{
    /// <summary>Linear light, 0 to 1, in blue-green-red order.</summary>
    public (float B, float G, float R) Linear() => (Tone.ToLinear(B / 255), Tone.ToLinear(G / 255), Tone.ToLinear(R / 255));
}

/// <summary>
/// How the wood of one species looks. Colours and shares are eyeballed from photographs and from common descriptions of these
/// woods; no published source, and nothing but the pictures depends on them.
/// </summary>
/// <param name="Name">Kebab-case common name, as in the contract.</param>
/// <param name="RingPorous">True for ash: the ring starts with a band of large pores.</param>
/// <param name="Early">Earlywood on a planed face.</param>
/// <param name="Late">Latewood on a planed face.</param>
/// <param name="Heart">Tint of the heartwood against the sapwood, factors on R, G, B.</param>
/// <param name="LatewoodShare">Mean latewood share of a ring.</param>
/// <param name="Gradual">Width of the early-to-late transition as a share of the ring: small is abrupt.</param>
/// <param name="RingContrast">Spread of latewood darkness from ring to ring.</param>
/// <param name="ResinDucts">True where the latewood shows resin ducts.</param>
/// <param name="SapwoodChance">How often sapwood stands out.</param>
internal sealed record SpeciesLook(
    string Name,
    bool RingPorous,
    Srgb Early,
    Srgb Late,
    (double R, double G, double B) Heart,
    double LatewoodShare,
    double Gradual,
    double RingContrast,
    bool ResinDucts,
    double SapwoodChance)
{
    public static IReadOnlyList<SpeciesLook> All { get; } =
    [
        new("sitka-spruce", false, new(226, 192, 152), new(172, 122, 82), (0.95, 0.90, 0.87), 0.26, 0.16, 0.20, true, 0.35),
        new("red-spruce", false, new(232, 208, 168), new(186, 144, 102), (0.97, 0.94, 0.90), 0.24, 0.16, 0.22, true, 0.10),
        new("white-spruce", false, new(235, 213, 174), new(194, 152, 108), (0.98, 0.96, 0.93), 0.22, 0.18, 0.24, true, 0.10),
        new("douglas-fir", false, new(228, 188, 142), new(164, 102, 62), (0.95, 0.86, 0.80), 0.36, 0.05, 0.12, true, 0.50),
        new("noble-fir", false, new(230, 206, 174), new(176, 138, 106), (0.95, 0.91, 0.88), 0.30, 0.13, 0.18, false, 0.15),
        new("western-hemlock", false, new(224, 197, 163), new(170, 128, 98), (0.96, 0.92, 0.89), 0.30, 0.14, 0.16, false, 0.10),
        new("port-orford-cedar", false, new(234, 208, 164), new(200, 158, 110), (0.96, 0.92, 0.86), 0.20, 0.15, 0.22, false, 0.20),
        new("white-ash", true, new(186, 150, 110), new(224, 200, 163), (0.84, 0.76, 0.68), 0.62, 0.14, 0.14, false, 0.40),
    ];

    public static SpeciesLook Of(string name) => All.FirstOrDefault(s => s.Name == name)
        ?? throw new ArgumentException($"No such species: {name}. Known: {string.Join(", ", All.Select(s => s.Name))}.", nameof(name));
}
