using GrainVision.Presentation.Pictures;

namespace GrainVision.Presentation.Tests.Pictures;

public class AltTextTests
{
    /// <summary>Whole texts are golden files; here what those samples do not show.</summary>
    [Theory]
    [InlineData("end-flat-pith-inside", "The pith is inside the section.")]
    [InlineData("huge-aspect", "drifts towards side 1-2")]
    public void Of_Sample_Says(string sample, string words) => Assert.Contains(words, Of(sample), StringComparison.Ordinal);

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
