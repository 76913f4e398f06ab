namespace GrainVision.Synthesis;

/// <summary>sRGB transfer curve (IEC 61966-2-1): the scene is lit in linear light and written in sRGB.</summary>
internal static class Tone
{
    private const int Steps = 4096;
    private static readonly byte[] Encode = Enumerable.Range(0, Steps + 1).Select(i => (byte)Math.Round(255 * FromLinear(i / (double)Steps))).ToArray();

    public static float ToLinear(double srgb) => (float)(srgb <= 0.04045 ? srgb / 12.92 : Math.Pow((srgb + 0.055) / 1.055, 2.4));

    public static double FromLinear(double linear) => linear <= 0.0031308 ? 12.92 * linear : (1.055 * Math.Pow(linear, 1 / 2.4)) - 0.055;

    /// <summary>Linear 0 to 1 to an sRGB byte.</summary>
    public static byte ToByte(float linear) => Encode[(int)((Math.Clamp(linear, 0f, 1f) * Steps) + 0.5f)];
}
