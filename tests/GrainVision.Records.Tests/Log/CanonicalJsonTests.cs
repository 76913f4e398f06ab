using System.Globalization;
using System.Text;
using GrainVision.Records.Log;

namespace GrainVision.Records.Tests.Log;

/// <summary>RFC 8785, JSON Canonicalization Scheme (A. Rundgren, B. Jordan, S. Erdtman, June 2020): its own examples and tables.</summary>
public class CanonicalJsonTests
{
    // RFC 8785, 3.2.2 (input), 3.2.4 (bytes).
    [Fact]
    public void Sample_OfTheRfc_GivesItsBytes()
    {
        const string input = """
            {
              "numbers": [333333333.33333329, 1E30, 4.50, 2e-3, 0.000000000000000000000000001],
              "string": "\u20ac$\u000F\u000aA'\u0042\u0022\u005c\\\"\/",
              "literals": [null, true, false]
            }
            """;
        const string hex = """
            7b 22 6c 69 74 65 72 61 6c 73 22 3a 5b 6e 75 6c 6c 2c 74 72 75 65 2c 66 61 6c 73 65 5d 2c 22 6e 75 6d 62 65 72 73 22 3a
            5b 33 33 33 33 33 33 33 33 33 2e 33 33 33 33 33 33 33 2c 31 65 2b 33 30 2c 34 2e 35 2c 30 2e 30 30 32 2c 31 65 2d 32 37
            5d 2c 22 73 74 72 69 6e 67 22 3a 22 e2 82 ac 24 5c 75 30 30 30 66 5c 6e 41 27 42 5c 22 5c 5c 5c 5c 5c 22 2f 22 7d
            """;
        Assert.Equal(Convert.FromHexString(string.Concat(hex.Where(char.IsAsciiHexDigit))), CanonicalJson.From(input));
    }

    // RFC 8785, 3.2.3: order by UTF-16 code units, so that the emoji (d83d) comes before the Hebrew letter (fb33).
    [Fact]
    public void Members_OfTheRfc_AreInItsOrder()
    {
        const string input = """
            {"\u20ac": "Euro Sign", "\r": "Carriage Return", "\ufb33": "Hebrew Letter Dalet With Dagesh", "1": "One",
             "\ud83d\ude00": "Emoji: Grinning Face", "\u0080": "Control", "\u00f6": "Latin Small Letter O With Diaeresis"}
            """;
        Assert.Equal(
            "{\"\\r\":\"Carriage Return\",\"1\":\"One\",\"\u0080\":\"Control\",\"\u00f6\":\"Latin Small Letter O With Diaeresis\","
            + "\"\u20ac\":\"Euro Sign\",\"\ud83d\ude00\":\"Emoji: Grinning Face\",\"\ufb33\":\"Hebrew Letter Dalet With Dagesh\"}",
            Text(input));
    }

    // Test data of the RFC's own development portal (github.com/cyberphone/json-canonicalization, testdata, "weird").
    [Fact]
    public void Members_OfThePortal_AreInItsOrder() => Assert.Equal(
        "{\"1\":\"One\",\"</script>\":\"Browser Challenge\",\"\u0080\":\"Control\u007f\",\"\u00f6\":\"Latin Small Letter O With Diaeresis\","
        + "\"\u20ac\":\"Euro Sign\",\"\ud83d\ude02\":\"Smiley\",\"\ufb33\":\"Hebrew Letter Dalet With Dagesh\"}",
        Text("""
            {"\u20ac": "Euro Sign", "1": "One", "\u0080": "Control\u007f", "\ud83d\ude02": "Smiley",
             "\u00f6": "Latin Small Letter O With Diaeresis", "\ufb33": "Hebrew Letter Dalet With Dagesh", "</script>": "Browser Challenge"}
            """));

    // RFC 8785, appendix B.
    [Theory]
    [InlineData("0000000000000000", "0")]
    [InlineData("8000000000000000", "0")]
    [InlineData("0000000000000001", "5e-324")]
    [InlineData("8000000000000001", "-5e-324")]
    [InlineData("7fefffffffffffff", "1.7976931348623157e+308")]
    [InlineData("ffefffffffffffff", "-1.7976931348623157e+308")]
    [InlineData("4340000000000000", "9007199254740992")]
    [InlineData("c340000000000000", "-9007199254740992")]
    [InlineData("4430000000000000", "295147905179352830000")]
    [InlineData("44b52d02c7e14af5", "9.999999999999997e+22")]
    [InlineData("44b52d02c7e14af6", "1e+23")]
    [InlineData("44b52d02c7e14af7", "1.0000000000000001e+23")]
    [InlineData("444b1ae4d6e2ef4e", "999999999999999700000")]
    [InlineData("444b1ae4d6e2ef4f", "999999999999999900000")]
    [InlineData("444b1ae4d6e2ef50", "1e+21")]
    [InlineData("444b1ae4d6e2ef51", "1.0000000000000001e+21")]
    [InlineData("3eb0c6f7a0b5ed8c", "9.999999999999997e-7")]
    [InlineData("3eb0c6f7a0b5ed8d", "0.000001")]
    [InlineData("41b3de4355555553", "333333333.3333332")]
    [InlineData("41b3de4355555554", "333333333.33333325")]
    [InlineData("41b3de4355555555", "333333333.3333333")]
    [InlineData("41b3de4355555556", "333333333.3333334")]
    [InlineData("41b3de4355555557", "333333333.33333343")]
    [InlineData("becbf647612f3696", "-0.0000033333333333333333")]
    [InlineData("43143ff3c1cb0959", "1424953923781206.2")]
    public void Number_OfTheRfc_IsWrittenAsThere(string bits, string expected) => Assert.Equal(expected, CanonicalJson.Number(Double(bits)));

    // RFC 8785, appendix B: these two are errors.
    [Theory]
    [InlineData("7fffffffffffffff")]
    [InlineData("7ff0000000000000")]
    public void Number_NotFinite_IsRefused(string bits) => Assert.Throws<FormatException>(() => CanonicalJson.Number(Double(bits)));

    // V8 is the reference that the RFC names; see fixtures/registry.json.
    [Fact]
    public void Number_FiveThousandOfV8_AreWrittenTheSame()
    {
        var lines = File.ReadAllLines(Fixtures.At("canonical-json/v8-numbers.txt"));
        Assert.True(lines.Length > 5_000);
        foreach (var line in lines.Select(l => l.Split(',')))
            Assert.Equal(line[1], CanonicalJson.Number(Double(line[0])));
    }

    [Theory]
    [InlineData("""{"a":1,"a":2}""")]
    [InlineData("""{"a":{"b":1,"\u0062":2}}""")]
    [InlineData("""["\ud83d"]""")]
    [InlineData("""{"\udc00":1}""")]
    [InlineData("""{"a":1""")]
    [InlineData("1e999")]
    public void Json_ThatTwoReadersMayReadDifferently_IsRefused(string json) => Assert.Throws<FormatException>(() => CanonicalJson.From(json));

    [Fact]
    public void Canonical_OfCanonical_IsTheSame()
    {
        var once = CanonicalJson.From("""{"z":[1.0,"\u0001é"],"a":{"c":true,"b":[]}}""");
        Assert.Equal("{\"a\":{\"b\":[],\"c\":true},\"z\":[1,\"\\u0001é\"]}", Encoding.UTF8.GetString(once));
        Assert.Equal(once, CanonicalJson.From(once));
    }

    private static string Text(string json) => Encoding.UTF8.GetString(CanonicalJson.From(json));

    private static double Double(string bits) => BitConverter.UInt64BitsToDouble(ulong.Parse(bits, NumberStyles.HexNumber, CultureInfo.InvariantCulture));
}
