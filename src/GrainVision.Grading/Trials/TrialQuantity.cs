using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;

namespace GrainVision.Grading.Trials;

/// <summary>A quantity that can be measured by hand and from a photo.</summary>
/// <param name="Code">Its name in the table of hand measurements.</param>
/// <param name="Unit">Unit of the comparison.</param>
/// <param name="Units">Units that the table may give, each with what turns a value into <paramref name="Unit"/>.</param>
/// <param name="View">Which photos show it.</param>
/// <param name="Read">From a photo's answer, in <paramref name="Unit"/>; null where the photo gave none.</param>
internal sealed record TrialQuantity(string Code, string Unit, IReadOnlyDictionary<string, Func<double, double>> Units, View View, Func<Measurement, Measured?> Read)
{
    private const string Millimetre = "mm";

    private static readonly Dictionary<string, Func<double, double>> Lengths = new(StringComparer.OrdinalIgnoreCase)
    {
        [Millimetre] = v => v, ["in"] = v => v * Grading.Quantities.Units.MmPerInch,
    };

    /// <summary>Every quantity, in the order of reports.</summary>
    public static IReadOnlyList<TrialQuantity> All { get; } =
    [
        new("perInch", "rings/in", Same("rings/in"), View.End, m => m.Rings?.PerInch),
        new("worstInch", "rings/in", Same("rings/in"), View.End, m => m.Rings?.WorstInch),
        new("ringAngle", "deg", Same("deg"), View.End, m => m.RingAngle?.Degrees),
        new("slope", "deg", new Dictionary<string, Func<double, double>>(StringComparer.OrdinalIgnoreCase)
        {
            ["deg"] = v => v, ["oneIn"] = v => DegreesOf(1 / v), ["tangent"] = DegreesOf,
        }, View.Face, m => m.Grain is { } grain ? Degrees(grain.Slope.Magnitude()) : null),
        new("thickness", Millimetre, Lengths, View.End, m => Shorter(m.Size)),
        new("width", Millimetre, Lengths, View.End, m => Longer(m.Size)),
        new("largestKnot", Millimetre, Lengths, View.Face, LargestKnot),
    ];

    public static TrialQuantity? Find(string code) => All.FirstOrDefault(q => string.Equals(q.Code, code, StringComparison.OrdinalIgnoreCase));

    private static Dictionary<string, Func<double, double>> Same(string unit) => new(StringComparer.OrdinalIgnoreCase) { [unit] = v => v };

    private static double DegreesOf(double tangent) => Math.Atan(tangent) * 180 / Math.PI;

    private static Measured Degrees(Measured tangent) => new(DegreesOf(tangent.Value), DegreesOf(tangent.Low), DegreesOf(tangent.High), tangent.Level);

    private static Measured? Shorter(SectionSize? size) => size is null ? null : size.FirstSideMm.Value < size.SecondSideMm.Value ? size.FirstSideMm : size.SecondSideMm;

    private static Measured? Longer(SectionSize? size) => size is null ? null : size.FirstSideMm.Value < size.SecondSideMm.Value ? size.SecondSideMm : size.FirstSideMm;

    private static Measured? LargestKnot(Measurement m) => m.Blemishes.Where(b => BlemishKinds.IsKnot(b.Kind) && b.Kind != BlemishKind.PinKnotCluster).OrderByDescending(b => b.DiameterMm.Value).Select(b => (Measured?)b.DiameterMm).FirstOrDefault();
}
