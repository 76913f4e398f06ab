using GrainVision.Presentation.Pictures;

namespace GrainVision.Presentation.Tests.Pictures;

public class AltTextTests
{
    [Fact]
    public void Of_End_TellsVerdictCountValuesAndWhatCannotBeSaid()
    {
        var text = Of("end-hold-fine-rings");
        Assert.StartsWith("Photo of an end of a piece of white ash", text, StringComparison.Ordinal);
        Assert.Contains("Verdict: HOLD, this end only, for solid wing spar.", text, StringComparison.Ordinal);
        Assert.Contains("By hand: Count the rings on this end with a steel rule.", text, StringComparison.Ordinal);
        Assert.Contains("239 rings counted: 18.1 (17.4 to 19.2) rings per inch; in the worst inch 6.3 (5.7 to 6.9).", text, StringComparison.Ordinal);
        Assert.Contains("Ring angle to the wide face 71 (66 to 76) degrees, least 60, greatest 80: quarter-sawn.", text, StringComparison.Ordinal);
        Assert.Contains("2 blemishes. 1: check, diameter", text, StringComparison.Ordinal);
        Assert.Contains("260 mm from corner 1 along side 1-2, 12 mm to the nearest edge, 61 % sure", text, StringComparison.Ordinal);
        Assert.Contains("Note: The photo is blurred towards the right", text, StringComparison.Ordinal);
        Assert.Contains("from printed card", text, StringComparison.Ordinal);
        Assert.Contains("Still to check by hand: Look for compression failures under slanted light.", text, StringComparison.Ordinal);

        Assert.Contains("Cannot say: spiral grain: the ring figure on an end does not show it. By hand: Let free-flowing ink run on all four faces and measure its slope.", Of("end-accept"), StringComparison.Ordinal);
        Assert.Contains("The pith is 236 mm (215 to 262) from the middle of the section.", Of("end-accept"), StringComparison.Ordinal);
        Assert.Contains("The pith is inside the section.", Of("end-flat-pith-inside"), StringComparison.Ordinal);
    }

    [Fact]
    public void Of_Face_TellsSlopeItsDriftAndWhereBlemishesAre()
    {
        var text = Of("face-reject");
        Assert.StartsWith("Photo of a face of a piece of sitka spruce", text, StringComparison.Ordinal);
        Assert.Contains("Verdict: REJECT, this face only", text, StringComparison.Ordinal);
        Assert.Contains("Slope of grain 1:16.3 (1:15.1 to 1:17.6), drifts towards side 3-4 going from corner 1 to 2, read from ring lines; at its steepest 1:10.6 (1:9.4 to 1:12.1).", text, StringComparison.Ordinal);
        Assert.Contains("8 blemishes. 1: knot, diameter 8.8 mm (8.0 to 9.6), 90 mm from corner 1 along the length, 12 mm to the nearest edge, 93 % sure", text, StringComparison.Ordinal);
        Assert.Contains("which way it drifts cannot be told", Of("face-dark-clean"), StringComparison.Ordinal);
        Assert.Contains("(1:71.4 to straight)", Of("face-dark-clean"), StringComparison.Ordinal);
        Assert.Contains("drifts towards side 1-2", Of("huge-aspect"), StringComparison.Ordinal);
    }

    [Fact]
    public void Of_NothingMeasured_SaysSo()
    {
        var text = Of("nothing-at-all");
        Assert.Equal(
            "Photo of a face of a piece of wood with its measurements drawn on it. Not judged: no rule book was asked for. No blemish found. "
            + "Scale 0.00 (0.00 to 0.00) pixels per mm from stated pixels per mm. Intervals are 95 %. Supports a qualified person. Not an airworthiness approval.",
            text);
    }

    [Fact]
    public void Of_NumbersThatAreNone_NotKnownInsteadOfNaN()
    {
        var text = Of("hostile-numbers");
        Assert.Contains("not known rings per inch", text, StringComparison.Ordinal);
        Assert.DoesNotContain("NaN", text, StringComparison.Ordinal);
        Assert.DoesNotContain("Infinity", text, StringComparison.Ordinal);
        Assert.DoesNotContain("∞", text, StringComparison.Ordinal);
    }

    private static string Of(string sample)
    {
        var (photo, m) = Samples.Make(sample);
        photo.Dispose();
        return AltText.From(m);
    }
}
