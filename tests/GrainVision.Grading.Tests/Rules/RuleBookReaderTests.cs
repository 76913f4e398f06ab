using System.Text;
using System.Text.Json.Nodes;
using GrainVision.Grading.Refusals;
using GrainVision.Grading.Rules;

namespace GrainVision.Grading.Tests.Rules;

public class RuleBookReaderTests
{
    private const string Smallest = """
        {"id":"test","version":1,"use":"testing","title":"Test","approvedData":"none","limits":[
          {"kind":"boxedPith","id":"pith","text":"none","sources":[{"status":"common-practice"}]}]}
        """;

    [Fact]
    public void Read_SmallestBook_IsRead()
    {
        Assert.True(RuleBookReader.Read(Smallest).TryGet(out var book, out _));
        Assert.Equal("test", book!.Id);
        Assert.True(RuleBookTests.FollowsSchema(Smallest));
    }

    [Fact]
    public void Read_ByteOrderMark_IsSkipped() =>
        Assert.True(RuleBookReader.Read("\uFEFF" + Smallest).TryGet(out _, out _));

    [Fact]
    public void Read_KindNotFirst_IsRead() =>
        Assert.True(RuleBookReader.Read(Smallest.Replace("\"kind\":\"boxedPith\",\"id\":\"pith\"", "\"id\":\"pith\",\"kind\":\"boxedPith\"", StringComparison.Ordinal)).TryGet(out _, out _));

    [Theory]
    [InlineData("", "unreadable")]
    [InlineData("null", "not a JSON object")]
    [InlineData("[]", "not a JSON object")]
    [InlineData("{", "not the JSON that is expected")]
    [InlineData("{\"id\":\"test\"}", "a member is missing: version, use, title, approvedData, limits")]
    public void Read_NotABook_SaysWhy(string json, string expected)
    {
        Assert.False(RuleBookReader.Read(json).TryGet(out _, out var refusal));
        Assert.Equal("rule-book-unreadable", refusal!.Code);
        Assert.Equal(RefusalFate.Unprocessable, refusal.Fate);
        Assert.Contains(expected, refusal.Code + refusal.Message, StringComparison.Ordinal);
        Assert.DoesNotContain("GrainVision", refusal.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Read_EveryPrefixOfABook_IsRefusedAndNeverThrows()
    {
        for (var length = 0; length < Smallest.TrimEnd().Length; length++)
            Assert.False(RuleBookReader.Read(Smallest[..length]).TryGet(out _, out _));
    }

    [Fact]
    public void Read_EveryByteFlipped_NeverThrows()
    {
        var good = Encoding.UTF8.GetBytes(RuleBookReader.Write(RuleBookTests.Book("shop-order")));
        var random = new Random(3);
        for (var i = 0; i < 3000; i++)
        {
            var bad = good.ToArray();
            bad[random.Next(bad.Length)] = (byte)random.Next(256);
            RuleBookReader.Read(Encoding.UTF8.GetString(bad)).TryGet(out _, out _);
        }
    }

    public static TheoryData<string, string, string> Spoiled => new()
    {
        { "/ruleBook", "1", "at ruleBook is not known" },
        { "/limits/0/leest", "6", "at limits[0].leest is not known" },
        { "/limits/0/species/0/leest", "6", "at limits[0].species[0].leest is not known" },
        { "/limits/0/sources/0/page", "6", "at limits[0].sources[0].page is not known" },
        { "/limits/0/kind", "\"ringsPerFoot\"", "kind at limits[0] is not one of" },
        { "/limits/0/sources", "[]", "sources must not be empty" },
        { "/limits/0/sources/0/status", "\"heard\"", "not the JSON that is expected" },
        { "/limits/0/sources/0/status", "3", "not the JSON that is expected" },
        { "/limits/0/sources/0/status", "\"memory\"", "confidence" },
        { "/limits/0/sources/0/confidence", "0.5", "confidence" },
        { "/limits/0/sources/0", "null", "a source is null" },
        { "/limits/0", "null", "is null" },
        { "/limits/0/species", "null", "not the JSON that is expected" },
        { "/limits/0/species/0", "null", "null" },
        { "/limits/0/species/0/least", "0", "least must be from" },
        { "/limits/0/species/0/least", "-6", "least must be from" },
        { "/limits/0/species/0/least", "\"6\"", "not the JSON that is expected" },
        { "/limits/0/species/0/names", "[]", "kebab case" },
        { "/limits/0/species/0/names/0", "\"Sitka spruce\"", "kebab case" },
        { "/limits/0/species/0/names/0", "null", "kebab case" },
        { "/limits/0/id", "\"Rings!\"", "kebab case" },
        { "/limits/0/text", "\" \"", "text must not be empty" },
        { "/id", "\"Spar\"", "kebab case" },
        { "/id", "null", "not the JSON that is expected" },
        { "/version", "0", "version" },
        { "/version", "1.5", "not the JSON that is expected" },
        { "/limits", "[]", "limits must not be empty" },
        { "/notes/0", "\"\"", "note" },
    };

    [Theory]
    [MemberData(nameof(Spoiled))]
    public void Read_SpoiledSparBook_SaysWhyAndSchemaAgrees(string pointer, string value, string expected)
    {
        var json = Spoil("spar", pointer, value);
        Assert.False(RuleBookReader.Read(json).TryGet(out _, out var refusal));
        Assert.Contains(expected, refusal!.Message, StringComparison.Ordinal);
        Assert.DoesNotContain("GrainVision", refusal.Message, StringComparison.Ordinal);
        Assert.False(RuleBookTests.FollowsSchema(json));
    }

    [Theory] // what a schema cannot say
    [InlineData("slope-of-grain", "noCombinedCheckFromOneIn", "21", "square root of 2")] // two faces of 1:21 are 1:14.85
    [InlineData("slope-outer-eighth", "noCombinedCheckFromOneIn", "15", "square root of 2")]
    [InlineData("never-allowed", "id", "\"rings-per-inch\"", "two limits have the id")]
    [InlineData("moisture", "leastPercent", "13", "mostPercent must be from 13")]
    public void Read_FiguresThatDoNotHoldTogether_AreRefused(string limitId, string member, string value, string expected)
    {
        var at = RuleBookTests.Book("spar").Limits.Select(l => l.Id).ToList().IndexOf(limitId);
        Assert.False(RuleBookReader.Read(Spoil("spar", $"/limits/{at}/{member}", value)).TryGet(out _, out var refusal));
        Assert.Equal("rule-book-invalid", refusal!.Code);
        Assert.Contains(expected, refusal.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Read_MemberGivenTwice_IsRefused()
    {
        Assert.False(RuleBookReader.Read(Smallest.Replace("\"version\":1", "\"version\":1,\"version\":2", StringComparison.Ordinal)).TryGet(out _, out var refusal));
        Assert.Contains("given twice", refusal!.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Read_LimitWithoutKind_IsRefused() => Assert.False(RuleBookReader.Read(Spoil("spar", "/limits/0/kind", null)).TryGet(out _, out _));

    [Fact]
    public void With_NewVersion_IsLatestAndTheOldOneStays()
    {
        var next = RuleBookTests.Book("spar") with { Version = 3 };
        Assert.True(RuleBookSet.Embedded.With(next).TryGet(out var shelf, out _));
        Assert.True(shelf!.TryGet("spar", out var latest));
        Assert.Equal(3, latest.Version);
        Assert.True(shelf.TryGet("spar", 1, out _));
        Assert.Equal(2, RuleBookTests.Book("spar").Version);
    }

    [Fact]
    public void With_VersionTaken_IsRefused()
    {
        Assert.False(RuleBookSet.Embedded.With(RuleBookTests.Book("spar")).TryGet(out _, out var refusal));
        Assert.Equal(("rule-book-version-taken", RefusalFate.Conflict), (refusal!.Code, refusal.Fate));
    }

    [Fact]
    public void Find_UnknownBook_ListsWhatThereIs()
    {
        Assert.False(RuleBookSet.Embedded.Find("propeller").TryGet(out _, out var refusal));
        Assert.Equal(("rule-book-unknown", RefusalFate.NotFound), (refusal!.Code, refusal.Fate));
        Assert.Contains("cap-strip, longeron-and-small-parts, shop-order, spar", refusal.Advice, StringComparison.Ordinal);
    }

    /// <summary>A book as JSON with one member changed, added or (null) removed. Other members keep their text.</summary>
    private static string Spoil(string id, string pointer, string? value)
    {
        var root = JsonNode.Parse(RuleBookReader.Write(RuleBookTests.Book(id)))!;
        var steps = pointer.Split('/')[1..];
        var at = root;
        foreach (var step in steps[..^1])
            at = at is JsonArray array ? array[int.Parse(step, System.Globalization.CultureInfo.InvariantCulture)]! : at[step]!;
        var node = value is null ? null : JsonNode.Parse(value);
        if (at is JsonArray list)
            list[int.Parse(steps[^1], System.Globalization.CultureInfo.InvariantCulture)] = node;
        else if (value is null)
            at.AsObject().Remove(steps[^1]);
        else
            at[steps[^1]] = node;
        return root.ToJsonString();
    }
}
