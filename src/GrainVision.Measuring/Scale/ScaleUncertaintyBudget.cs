namespace GrainVision.Measuring.Scale;

/// <summary>
/// The parts of a scale's uncertainty that no photo can show, and the limits beyond which a scale is not believed.
/// Relative standard uncertainties (JCGM 100 type B). No published source exists for them: each is our own judgement,
/// stated here once so that it can be argued with.
/// </summary>
internal static class ScaleUncertaintyBudget
{
    /// <summary>
    /// 0.3 %: a printed card that nobody held against a rule. Office printers stretch or shrink the paper's feed direction
    /// by up to about 0.5 %; taken as a rectangular distribution, 0.5 % / sqrt(3).
    /// </summary>
    public const double UncheckedPrint = 0.003;

    /// <summary>
    /// 0.2 %: the thing that gives the scale lies a little above or below the wood's surface (1 mm at 500 mm from the lens is
    /// 0.2 %) and the lens is not free of distortion.
    /// </summary>
    public const double OutOfPlane = 0.002;

    /// <summary>
    /// 0.018: radial distortion of a phone lens at the picture's corner, as a share (standard uncertainty; no source: drawn photos go up to twice that).
    /// </summary>
    public const double LensK1 = 0.018;

    /// <summary>0.05 %: graduation of a common steel rule; 0.15 mm in 300 mm.</summary>
    public const double RuleGraduation = 0.0005;

    /// <summary>0.1 %: a pitch the caller knows from elsewhere is rarely written with more than three digits.</summary>
    public const double StatedPitch = 0.001;

    /// <summary>1 px: standard uncertainty of a point picked by hand, along the line between the two points.</summary>
    public const double PickedPointPx = 1;

    /// <summary>
    /// 0.75 px: standard uncertainty of a corner given by the caller, in x and in y: between a careful click (0.5) and the usual one (1).
    /// </summary>
    public const double CornerPx = 0.75;

    /// <summary>30 px: two picked points closer than this give a scale worse than 5 %.</summary>
    public const double LeastPointDistancePx = 30;

    /// <summary>20 px: an outline side shorter than this gives no scale worth having.</summary>
    public const double LeastSidePx = 20;

    /// <summary>0.05 px/mm: a metre is 50 px; nothing that this product measures can be seen.</summary>
    public const double LeastPixelsPerMm = 0.05;

    /// <summary>500 px/mm: finer than any flatbed scanner (9,600 dpi is 378 px/mm) and than the sharpness of any lens.</summary>
    public const double GreatestPixelsPerMm = 500;

    /// <summary>20 m: the longest flitch bought is 20 ft; anything above 20,000 mm is a slip of the unit.</summary>
    public const double GreatestLengthMm = 20_000;

    /// <summary>Root of the sum of squares.</summary>
    public static double Combine(params ReadOnlySpan<double> terms)
    {
        var sum = 0.0;
        foreach (var t in terms)
            sum += t * t;
        return Math.Sqrt(sum);
    }

    public static bool IsPitchBelievable(double pixelsPerMm) => pixelsPerMm is >= LeastPixelsPerMm and <= GreatestPixelsPerMm;

    /// <summary>False for NaN as well.</summary>
    public static bool IsLengthBelievable(double mm) => mm is > 0 and <= GreatestLengthMm;
}
