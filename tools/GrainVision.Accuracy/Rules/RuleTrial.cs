using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Measuring;
using GrainVision.Measuring.Intake;
using GrainVision.Synthesis.Rules;

namespace GrainVision.Accuracy.Rules;

/// <summary>What the reader made of one drawn photo of a rule.</summary>
/// <param name="Photo">The photo's facts.</param>
/// <param name="Told">True where the reader was told the unit.</param>
/// <param name="Refusal">Code of the refusal; null where a scale was given.</param>
/// <param name="Found">Pixels per mm at the place asked for; null where refused.</param>
/// <param name="IsHeld">The unit is assumed, so that nothing is accepted on this scale.</param>
internal sealed record RuleTrial(RulePhoto Photo, bool Told, string? Refusal, Measured? Found, bool IsHeld)
{
    /// <summary>Beyond three standard uncertainties.</summary>
    private const double Confident = 3;

    /// <summary>Relative error, signed; null where refused.</summary>
    public double? Error => Found is { } found ? (found.Value / Photo.PixelsPerMm) - 1 : null;

    public bool? Covered => Found is { } found ? found.Low <= Photo.PixelsPerMm && Photo.PixelsPerMm <= found.High : null;

    public bool IsConfidentlyWrong => !IsHeld && IsWrong;

    public bool IsWrong => Found is { } found && Math.Abs(found.Value - Photo.PixelsPerMm) > Confident * found.StandardUncertainty;

    /// <summary>What the reader says it needs: 30 mm, or two inches of an inch edge.</summary>
    public bool ShowsEnough => Photo.ShownMm >= (Photo.Units.Front == SteelRuleUnit.Inch ? 51 : 30);

    /// <summary>Draws and reads. Every second seed's reader is told the unit of the read edge.</summary>
    public static RuleTrial Run(int seed, RuleStyle style, string? folder)
    {
        var photo = RulePhoto.Of(seed, style);
        var jpeg = photo.ToJpeg();
        if (folder is not null)
            File.WriteAllBytes(Path.Combine(Directory.CreateDirectory(folder).FullName, $"{style}-{seed}.jpg"), jpeg);
        var told = seed % 2 == 0;
        return Read(jpeg, told ? photo.Units.Front : null, photo.Place, out var found, out var held) is { } refusal
            ? new RuleTrial(photo, told, refusal, null, false)
            : new RuleTrial(photo, told, null, found, held);
    }

    /// <summary>Reads the rule of a file at a place; null for the middle. Returns the refusal's code, or null.</summary>
    public static string? Read(byte[] file, SteelRuleUnit? unit, PointPx? place, out Measured found, out bool held)
    {
        found = default;
        held = false;
        if (!PhotoIntake.Decode(file, IntakeLimits.Default, CancellationToken.None).TryGet(out var photo, out var unreadable))
            return unreadable.Code;
        using (photo)
        {
            if (!ScaleStage.Find(photo, new SteelRuleScale(unit), CancellationToken.None).TryGet(out var scale, out var refusal))
                return refusal.Code;
            held = scale.Finding.IsUnitAssumed;
            if (place is not { } at)
            {
                found = scale.Finding.PixelsPerMm;
                return null;
            }

            var near = scale.Near(at);
            if (!near.At(at, near.PixelsPerMmAt(at)).TryGet(out var there, out refusal))
                return refusal.Code;
            found = there.Finding.PixelsPerMm;
            return null;
        }
    }

    public override string ToString() => FormattableString.Invariant(
        $"{Photo} {(Told ? "told" : "untold")}: {Refusal ?? $"{100 * Error:+0.00;-0.00} % ± {200 * Found!.Value.StandardUncertainty / Found.Value.Value:0.00}{(IsHeld ? " held" : "")}{(IsConfidentlyWrong ? " CONFIDENTLY WRONG" : Covered == true ? "" : " outside")}"}");
}
