using System.Globalization;
using GrainVision.Grading.Deliveries;
using GrainVision.Grading.Refusals;

namespace GrainVision.Grading.Trials;

/// <summary>One measurement by hand of a piece of a trial. A piece that was measured again has several.</summary>
/// <param name="Piece">Name of the piece, as its folder of photos is called.</param>
/// <param name="Quantity">Code: perInch, worstInch (rings/in), ringAngle (deg), slope (deg), thickness, width, largestKnot (mm).</param>
/// <param name="Value">In that unit.</param>
public sealed record HandReading(string Piece, string Quantity, double Value)
{
    /// <summary>Half-width of the hand's own 95 % interval, in the same unit; null: what repeats of the piece or of others show, or else nothing.</summary>
    public double? PlusMinus { get; init; }

    /// <summary>5,000: fifty pieces, ten quantities, ten times each.</summary>
    public const int Most = 5_000;

    /// <summary>Codes of all quantities.</summary>
    public static IReadOnlyList<string> Quantities { get; } = [.. TrialQuantity.All.Select(q => q.Code)];

    private static readonly string[] Columns = ["piece", "quantity", "value", "unit", "plusminus"];

    /// <summary>What is wrong with it, or null.</summary>
    public string? Problem() =>
        string.IsNullOrWhiteSpace(Piece) ? "no piece is named"
        : !Quantities.Contains(Quantity) ? $"'{Quantity}' is none of: {string.Join(", ", Quantities)}"
        : Value is not (>= 0 and < 1e5) || PlusMinus is not (null or (>= 0 and < 1e5)) ? "value and plusMinus are numbers of 0 or more"
        : null;

    /// <summary>
    /// Reads a table (CSV, RFC 4180) with the header <c>piece,quantity,value,unit,plusMinus</c>; the last two may be left out. Slope may be in <c>oneIn</c>, lengths in <c>in</c>.
    /// The refusal names the line.
    /// </summary>
    public static Outcome<IReadOnlyList<HandReading>> ReadTable(string csv)
    {
        ArgumentNullException.ThrowIfNull(csv);
        if (CsvRows.Read(csv, Most + 1) is not { Count: > 0 } rows)
            return Bad(1, "it is empty, or a quoted value does not end");
        if (rows.Count > Most + 1)
            return Bad(rows[^1].Line, $"it has more than {Most} rows");
        var header = rows[0].Values.Select(h => h.Trim().ToLowerInvariant()).ToList();
        if (header.Find(h => !Columns.Contains(h)) is { } odd)
            return Bad(1, $"'{odd}' is not a column");
        if (Columns.Take(3).FirstOrDefault(c => !header.Contains(c)) is { } missing)
            return Bad(1, $"the column '{missing}' is missing");

        var readings = new List<HandReading>();
        foreach (var (line, values) in rows.Skip(1))
        {
            if (values.Count != header.Count)
                return Bad(line, $"{values.Count} values under {header.Count} columns");
            string Of(string column) => header.IndexOf(column) is >= 0 and var i ? values[i].Trim() : "";
            if (Of("piece").Length == 0)
                return Bad(line, "no piece is named");
            if (TrialQuantity.Find(Of("quantity")) is not { } quantity)
                return Bad(line, $"'{Of("quantity")}' is none of: {string.Join(", ", Quantities)}");
            var unit = Of("unit").Length == 0 ? quantity.Unit : Of("unit");
            if (!quantity.Units.TryGetValue(unit, out var convert))
                return Bad(line, $"{quantity.Code} is given in: {string.Join(" or ", quantity.Units.Keys)}");
            if (!double.TryParse(Of("value"), NumberStyles.Float, CultureInfo.InvariantCulture, out var value) || convert(value) is not (>= 0 and < 1e5) || value < 0)
                return Bad(line, $"'{Of("value")}' is not a number of 0 or more, with a point for decimals");
            if (!TryHalf(Of("plusminus"), value, convert, out var half))
                return Bad(line, $"'{Of("plusminus")}' is not a half-width over 0 and, of 1 in N, under N");
            readings.Add(new HandReading(Of("piece"), quantity.Code, convert(value)) { PlusMinus = half });
        }

        return Outcome<IReadOnlyList<HandReading>>.ToOutcome(readings);
    }

    /// <summary>Converted at the value, since 1 in N is no straight line in degrees.</summary>
    private static bool TryHalf(string text, double value, Func<double, double> convert, out double? half)
    {
        half = null;
        if (text.Length == 0)
            return true;
        if (!double.TryParse(text, NumberStyles.Float, CultureInfo.InvariantCulture, out var given) || given <= 0)
            return false;
        half = Math.Max(Math.Abs(convert(value + given) - convert(value)), value > given ? Math.Abs(convert(value) - convert(value - given)) : 0);
        return half < 1e5;
    }

    private static Refusal Bad(int line, string why) => RefusalCatalog.TrialUnreadable.Because($"The table of hand measurements cannot be read, line {line}: {why}.");
}
