using System.Globalization;

namespace GrainVision.Records.Schema;

/// <summary>Times as the tables hold them: round-trip text ("O"), 100 ns. The log's own times are shorter (milliseconds, UTC).</summary>
internal static class RecordTime
{
    private const string Format = "O";

    public static string ToRecord(this DateTimeOffset time) => time.ToString(Format, CultureInfo.InvariantCulture);

    public static DateTimeOffset Parse(string recorded) => DateTimeOffset.ParseExact(recorded, Format, CultureInfo.InvariantCulture);
}
