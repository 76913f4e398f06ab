using System.Globalization;
using System.Text.Json;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Rules;
using GrainVision.MeasuredPhotos;
using GrainVision.Measuring;
using GrainVision.Measuring.Intake;
using GrainVision.Service.Measurements;

namespace GrainVision.Service.Tests.Measurements;

/// <summary>The same photo gives the same words and numbers whatever culture the thread runs in.</summary>
public class CultureTests
{
    [Theory]
    [InlineData(Calls.RingsPhoto, Calls.RingsRequest)]
    [InlineData(Calls.FacePhoto, Calls.FaceRequest)]
    public void MeasureJob_DifferentCultures_GivesTheSameAnswer(string photo, string request)
    {
        var plain = Measure(photo, request);
        var before = CultureInfo.CurrentCulture;
        try
        {
            CultureInfo.CurrentCulture = French();
            Assert.Equal("1,5", 1.5.ToString("0.0", CultureInfo.CurrentCulture)); // it would show
            Assert.Equal(plain, Measure(photo, request));
        }
        finally
        {
            CultureInfo.CurrentCulture = before;
        }
    }

    /// <summary>French habits by hand: in the invariant mode that our programs run in, named cultures do not exist.</summary>
    private static CultureInfo French()
    {
        var french = (CultureInfo)CultureInfo.InvariantCulture.Clone();
        french.NumberFormat.NumberDecimalSeparator = ",";
        french.NumberFormat.NumberGroupSeparator = "\u202F";
        french.NumberFormat.PercentDecimalSeparator = ",";
        french.NumberFormat.NegativeSign = "\u2212";
        return french;
    }

    private static string Measure(string photo, string json)
    {
        var request = JsonSerializer.Deserialize<MeasuringRequest>(json, ContractJson.Options)!;
        Assert.True(RuleBookSet.Embedded.TryGet(request.RuleBook!, out var book));
        Assert.True(PhotoJob.Run(Calls.Fixture(photo), request, book, CancellationToken.None).TryGet(out var measured, out var refusal), refusal?.Message);
        var withoutTimes = measured.Measurement with { TimingsMs = new Dictionary<string, double>() };
        return JsonSerializer.Serialize(withoutTimes, ContractJson.Options) + Convert.ToHexString(System.Security.Cryptography.SHA256.HashData(measured.PictureBytes));
    }
}
