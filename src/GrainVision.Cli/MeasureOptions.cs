using System.CommandLine;
using System.Globalization;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Measuring;

namespace GrainVision.Cli;

/// <summary>The options of <c>measure</c> that say what the photo shows, and the request they make.</summary>
internal sealed class MeasureOptions
{
    private readonly Option<string> _view = new("--view") { Description = "What the photo shows: end or face.", Required = true };
    private readonly Option<string?> _species = new("--species") { Description = "Kebab-case common name such as sitka-spruce." };
    private readonly Option<string?> _ruleBook = new("--rule-book") { Description = "Rule book to judge by: spar, longeron-and-small-parts, cap-strip, shop-order." };
    private readonly Option<string> _scale = new("--scale") { Description = "auto, auto-mm (card, or a rule that is metric), card, rule, rule-mm or rule-inch.", DefaultValueFactory = _ => "auto" };
    private readonly Option<string?> _points = new("--points") { Description = "Two points and their distance: x1,y1,x2,y2,mm." };
    private readonly Option<string?> _outline = new("--outline") { Description = "Corners 1 to 4: \"x,y x,y x,y x,y\" in pixels of the upright photo." };
    private readonly Option<string?> _outlineSize = new("--outline-size") { Description = "Size of the outline in mm: side 1-2 by side 2-3, such as 150x50." };
    private readonly Option<double?> _scaleBelow = new("--scale-below-mm") { Description = "How far card or rule lie below the photographed surface, mm; negative: above." };
    private readonly Option<string?> _pitch = new("--pitch") { Description = "Pixels per mm." };

    public MeasureOptions()
    {
        _view.AcceptOnlyFromAmong("end", "face");
        _scale.AcceptOnlyFromAmong("auto", "auto-mm", "card", "rule", "rule-mm", "rule-inch");
    }

    /// <summary>Those that can hold for every photo of a folder; what each shows its name says.</summary>
    public IEnumerable<Option> OfEveryPhoto => [_species, _scale, _scaleBelow, _pitch];

    public IEnumerable<Option> All => [_view, _species, _ruleBook, _scale, _points, _outline, _outlineSize, _pitch, _scaleBelow];

    /// <summary>The request, or null with what is wrong with the options.</summary>
    public (MeasuringRequest? Request, string? Problem) Read(ParseResult parsed)
    {
        var scale = ReadScale(parsed, out var problem);
        var outline = parsed.GetValue(_outline) is { } text ? Numbers(text, 8) : [];
        if (outline is null)
            problem ??= "--outline takes four corners: \"x,y x,y x,y x,y\".";
        if (problem is not null)
            return (null, problem);
        return (new MeasuringRequest
        {
            View = parsed.GetValue(_view) == "end" ? View.End : View.Face,
            Species = parsed.GetValue(_species),
            RuleBook = parsed.GetValue(_ruleBook),
            Scale = scale,
            ScaleBelowMm = parsed.GetValue(_scaleBelow),
            Outline = outline is { Length: 8 } ? [.. outline.Chunk(2).Select(p => new PointPx(p[0], p[1]))] : null,
        }, null);
    }

    private ScaleRequest ReadScale(ParseResult parsed, out string? problem)
    {
        problem = null;
        string?[] exact = [parsed.GetValue(_points), parsed.GetValue(_outlineSize), parsed.GetValue(_pitch)];
        if (exact.Count(e => e is not null) > 1)
            problem = "Give one of --points, --outline-size and --pitch.";
        if (exact[0] is { } points)
        {
            if (Numbers(points, 5) is { } n)
                return new PointsScale(new PointPx(n[0], n[1]), new PointPx(n[2], n[3]), n[4]);
            problem = "--points takes x1,y1,x2,y2,mm.";
        }

        if (exact[1] is { } size)
        {
            if (Numbers(size, 2) is { } n)
                return new OutlineSizeScale(n[0], n[1]);
            problem = "--outline-size takes two lengths in mm, such as 150x50.";
        }

        if (exact[2] is { } pitch)
        {
            if (Numbers(pitch, 1) is { } n)
                return new PitchScale(n[0]);
            problem = "--pitch takes pixels per mm, such as 12.5.";
        }

        return parsed.GetValue(_scale) switch
        {
            "auto-mm" => new AutoScale(SteelRuleUnit.Mm),
            "card" => new CardScale(),
            "rule" => new SteelRuleScale(),
            "rule-mm" => new SteelRuleScale(SteelRuleUnit.Mm),
            "rule-inch" => new SteelRuleScale(SteelRuleUnit.Inch),
            _ => new AutoScale(),
        };
    }

    private static double[]? Numbers(string text, int count)
    {
        var parts = text.Split([',', ' ', 'x', ';'], StringSplitOptions.RemoveEmptyEntries);
        var numbers = new double[count];
        if (parts.Length != count)
            return null;
        for (var i = 0; i < count; i++)
        {
            if (!double.TryParse(parts[i], NumberStyles.Float, CultureInfo.InvariantCulture, out numbers[i]) || !double.IsFinite(numbers[i]))
                return null;
        }

        return numbers;
    }
}
