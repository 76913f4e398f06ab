namespace GrainVision.Grading.Findings;

/// <summary>
/// Words for <see cref="CannotSay.What"/>. The judge holds on the first four where the rule book asks for them, takes
/// the others as hand checks, and holds on any word that it does not know.
/// </summary>
public static class CannotSayTopic
{
    /// <summary>Rings per inch.</summary>
    public const string Rings = "rings";

    /// <summary>Ring angle and cut.</summary>
    public const string RingAngle = "ringAngle";

    /// <summary>Slope of grain.</summary>
    public const string Grain = "grain";

    /// <summary>
    /// Blemishes as a whole. An empty list of blemishes means "looked, found none": a photo that was not searched must say this.
    /// </summary>
    public const string Blemishes = "blemishes";

    /// <summary>Spiral grain on a face whose slope was read from ring lines. A hand check, not a hold.</summary>
    public const string SpiralGrain = "spiralGrain";

    /// <summary>Where the pith is. A hand check; whether the pith can be boxed is judged from the ring angle.</summary>
    public const string Pith = "pith";

    /// <summary>Share of latewood. A hand check; no limit needs it.</summary>
    public const string LatewoodShare = "latewoodShare";

    /// <summary>Size of the section. A hand check; limits that need the size hold by themselves.</summary>
    public const string Size = "size";
}
