using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;

namespace GrainVision.Synthesis.Rules;

/// <summary>A drawn photo of a rule with its truth.</summary>
public sealed class RulePhoto
{
    private readonly RulePhotoSpec _spec;

    private RulePhoto(RulePhotoSpec spec) => _spec = spec;

    /// <summary>The photo of a seed and a style.</summary>
    public static RulePhoto Of(int seed, RuleStyle style) => new(RulePhotoSampler.Sample(seed, style));

    public int Seed => _spec.Seed;

    public RuleStyle Style => _spec.Style;

    public Difficulty Difficulty => _spec.Difficulty;

    /// <summary>True where the lens's axis is not in the middle of the picture.</summary>
    public bool Cropped => _spec.Cropped;

    /// <summary>Unit of the read edge, and of the other one; null for a blank other edge.</summary>
    public (SteelRuleUnit Front, SteelRuleUnit? Back) Units => (Unit(_spec.Front), _spec.Back is { } back ? Unit(back) : null);

    /// <summary>"Millimetres+SixtyFourths" and the like.</summary>
    public string Divisions => _spec.Back is { } back ? $"{_spec.Front.Division}+{back.Division}" : _spec.Front.Division.ToString();

    /// <summary>Where the piece would lie, px: there the scale is asked for.</summary>
    public PointPx Place => _spec.Camera.ToPx(_spec.PlaceMm.X, _spec.PlaceMm.Y);

    /// <summary>True pixels per mm there, lens included.</summary>
    public double PixelsPerMm => _spec.Camera.PixelsPerMmAt(_spec.PlaceMm.X, _spec.PlaceMm.Y);

    /// <summary>Mm of the read edge whose graduations show whole: in the picture and under neither hand nor piece.</summary>
    public int ShownMm
    {
        get
        {
            var (edge, shown) = (_spec.Front, 0);
            for (var x = 0; x < Math.Min(_spec.LengthMm, _spec.EndCoveredFromMm); x++)
            {
                if (x >= _spec.Hand.FromMm && x <= _spec.Hand.ToMm && _spec.Hand.ToMm > _spec.Hand.FromMm)
                    continue;
                shown += IsIn(_spec.Camera.ToPx(x, edge.SetBackMm)) && IsIn(_spec.Camera.ToPx(x, edge.SetBackMm + (edge.ShortestMm * edge.Growth))) ? 1 : 0;
            }

            return shown;
        }
    }

    private bool IsIn(PointPx p) => p.X >= 0 && p.Y >= 0 && p.X < _spec.Width && p.Y < _spec.Height;

    /// <summary>The photo as a JPEG file.</summary>
    public byte[] ToJpeg() => RulePhotoPainter.Paint(_spec);

    /// <summary>A line for a list.</summary>
    public override string ToString() => FormattableString.Invariant(
        $"{_spec.Style} {_spec.Seed} {_spec.Difficulty} {(_spec.Cropped ? "cropped" : "whole")} {Divisions} {PixelsPerMm:0.00} px/mm blur {_spec.BlurPx:0.0} noise {_spec.Noise:0.0} wear {_spec.Wear:0.00}{(_spec.Hand.ToMm > _spec.Hand.FromMm ? " hand" : "")}{(_spec.CoveredBeyondMm < 1e6 ? " back covered" : "")}{(_spec.EndCoveredFromMm < 1e6 ? " end covered" : "")} ink {_spec.Ink.G - _spec.Ground.G} k1 {_spec.Camera.K1:0.000} fan {Fan():E2}");

    /// <summary>Turn of the lines across the rule per pixel along it, ideal lens.</summary>
    private double Fan()
    {
        var (a, b, c, d) = (_spec.Camera.Ideal(_spec.PlaceMm.X - 5, 0), _spec.Camera.Ideal(_spec.PlaceMm.X - 5, 1), _spec.Camera.Ideal(_spec.PlaceMm.X + 5, 0), _spec.Camera.Ideal(_spec.PlaceMm.X + 5, 1));
        return (Math.Atan2((d - c).Y, (d - c).X) - Math.Atan2((b - a).Y, (b - a).X)) / (c - a).Length;
    }

    private static SteelRuleUnit Unit(RuleEdge edge) => edge.IsInch ? SteelRuleUnit.Inch : SteelRuleUnit.Mm;
}
