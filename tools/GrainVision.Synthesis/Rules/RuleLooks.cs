namespace GrainVision.Synthesis.Rules;

/// <summary>Grey and colour of a style's ground and lines.</summary>
internal static class RuleLooks
{
    public static ((byte B, byte G, byte R) Ground, (byte B, byte G, byte R) Ink) Of(RuleStyle style, SeededRandom r, int level)
    {
        // Contrast falls with difficulty: light and camera do that.
        var faint = 1 - (0.2 * level) - r.Uniform(0, 0.15);
        switch (style)
        {
            case RuleStyle.DarkSteel:
                var dark = r.Uniform(45, 95);
                return r.Chance(0.6) ? (Grey(dark), Grey(dark + (faint * r.Uniform(60, 120)))) : (Grey(dark + 35), Grey(dark + 35 - (faint * r.Uniform(45, 75))));
            case RuleStyle.SatinSteel:
                var satin = r.Uniform(140, 205);
                return (Grey(satin), Grey(satin * (1 - (faint * r.Uniform(0.6, 0.85)))));
            case RuleStyle.WhitePlastic:
                var white = r.Uniform(200, 242);
                var w = white * (1 - (faint * r.Uniform(0.7, 0.9)));
                return (Grey(white), r.Chance(0.25) ? ((byte)Math.Min(255, w + 80), (byte)w, (byte)w) : Grey(w));
            case RuleStyle.Wooden:
                var wood = r.Uniform(0.75, 1.1);
                var k = 1 - (faint * r.Uniform(0.5, 0.75));
                return (Tone(95, 160, 205, wood), Tone(95, 160, 205, wood * k));
            case RuleStyle.Tape:
                return r.Chance(0.6)
                    ? (Tone(40, 200, 235, r.Uniform(0.8, 1)), Grey(235 * (1 - (faint * 0.9))))
                    : (Grey(225), Grey(225 * (1 - (faint * 0.9))));
            case RuleStyle.Anodised:
                var colour = r.Index(3) switch { 0 => Tone(150, 80, 30, r.Uniform(0.7, 1.2)), 1 => Tone(40, 130, 190, r.Uniform(0.5, 0.8)), _ => Tone(40, 30, 150, r.Uniform(0.6, 1)) };
                return (colour, Lighter(colour, faint * r.Uniform(90, 140)));
            default:
                return r.Chance(0.5)
                    ? (Tone(60, 190, 225, r.Uniform(0.8, 1)), Grey(190 * (1 - (faint * 0.85))))
                    : (Grey(r.Uniform(195, 225)), Grey(210 * (1 - (faint * 0.85))));
        }
    }

    private static (byte B, byte G, byte R) Grey(double v) => ((byte)Math.Clamp(v, 0, 255), (byte)Math.Clamp(v, 0, 255), (byte)Math.Clamp(v, 0, 255));

    private static (byte B, byte G, byte R) Tone(double b, double g, double r, double k) => ((byte)Math.Clamp(b * k, 0, 255), (byte)Math.Clamp(g * k, 0, 255), (byte)Math.Clamp(r * k, 0, 255));

    private static (byte B, byte G, byte R) Lighter((byte B, byte G, byte R) c, double by) =>
        ((byte)Math.Clamp(c.B + by, 0, 255), (byte)Math.Clamp(c.G + by, 0, 255), (byte)Math.Clamp(c.R + by, 0, 255));
}
