using System.Globalization;

namespace GrainVision.Records.Schema;

/// <summary>Times as the tables hold them: round-trip text ("O"), 100 ns. The log's own times are shorter (milliseconds, UTC).</summary>
internal static class RecordTime
{
    private const string Format = "O";

    public static string ToRecord(this DateTimeOffset time) => time.ToString(Format, CultureInfo.InvariantCulture);

    public static bool TryParse(string recorded, out DateTimeOffset time) =>
        DateTimeOffset.TryParseExact(recorded, Format, CultureInfo.InvariantCulture, DateTimeStyles.None, out time);

    public static DateTimeOffset Parse(string recorded) => DateTimeOffset.ParseExact(recorded, Format, CultureInfo.InvariantCulture);
}
