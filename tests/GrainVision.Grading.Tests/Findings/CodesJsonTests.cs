using System.Text.Json;
using GrainVision.Grading.Findings;

namespace GrainVision.Grading.Tests.Findings;

/// <summary>Codes as they stand in HTTP, files and the log; records from before the codes still read.</summary>
public class CodesJsonTests
{
    [Fact]
    public void Warning_WithAMember_IsWrittenAndReadBack()
    {
        var warning = new Warning(WarningCode.MemberIgnored, "Not known.") { Member = "colour" };
        var json = JsonSerializer.Serialize(warning, ContractJson.Options);
        Assert.Equal("""{"code":"member-ignored","message":"Not known.","member":"colour"}""", json);
        Assert.Equal(warning, JsonSerializer.Deserialize<Warning>(json, ContractJson.Options));
    }

    [Fact]
    public void Warning_OfEveryCode_ReadsBack() => Assert.All(Enum.GetValues<WarningCode>(), code =>
        Assert.Equal(code, JsonSerializer.Deserialize<Warning>(JsonSerializer.Serialize(new Warning(code, "m"), ContractJson.Options), ContractJson.Options)!.Code));

    [Fact]
    public void Warnings_PlainSentencesOfAnOlderRecord_ReadAsMessagesWithoutACode()
    {
        var read = JsonSerializer.Deserialize<IReadOnlyList<Warning>>("""["The piece fills the photo; its edges do not show."]""", ContractJson.Options)!;
        Assert.Equal([new Warning(WarningCode.Unknown, "The piece fills the photo; its edges do not show.")], read);
    }

    [Fact]
    public void Warning_CodeOfANewerVersion_KeepsItsMessage() => Assert.Equal(
        new Warning(WarningCode.Unknown, "New."), JsonSerializer.Deserialize<Warning>("""{"code":"from-the-future","message":"New."}""", ContractJson.Options));

    [Theory] // names of design.md section 5 and of every record so far
    [InlineData("rings", CannotSayTopic.Rings)]
    [InlineData("ringAngle", CannotSayTopic.RingAngle)]
    [InlineData("grain", CannotSayTopic.Grain)]
    [InlineData("blemishes", CannotSayTopic.Blemishes)]
    [InlineData("spiralGrain", CannotSayTopic.SpiralGrain)]
    [InlineData("pith", CannotSayTopic.Pith)]
    [InlineData("latewoodShare", CannotSayTopic.LatewoodShare)]
    [InlineData("size", CannotSayTopic.Size)]
    public void Topic_Name_IsTheContracts(string name, CannotSayTopic topic)
    {
        var json = $$"""{"what":"{{name}}","why":"w","handCheck":"h"}""";
        var cannot = JsonSerializer.Deserialize<CannotSay>(json, ContractJson.Options)!;
        Assert.Equal(topic, cannot.What);
        Assert.Equal(json, JsonSerializer.Serialize(cannot, ContractJson.Options));
    }

    [Theory]
    [InlineData("phase of the moon")]
    [InlineData("knots")]
    [InlineData("")]
    public void Topic_WordThatIsNotKnown_ReadsAsUnknown(string word) => Assert.Equal(
        CannotSayTopic.Unknown, JsonSerializer.Deserialize<CannotSay>($$"""{"what":"{{word}}","why":"w","handCheck":"h"}""", ContractJson.Options)!.What);
}
