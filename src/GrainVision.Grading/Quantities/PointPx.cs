using System.Text.Json;
using System.Text.Json.Serialization;

namespace GrainVision.Grading.Quantities;

/// <summary>
/// A point in pixels of the upright photo: origin at the centre of the top-left pixel, x to the right, y down.
/// Written in JSON as <c>[x, y]</c>.
/// </summary>
[JsonConverter(typeof(PointPxJson))]
public readonly record struct PointPx(double X, double Y)
{
    public static PointPx operator +(PointPx a, PointPx b) => new(a.X + b.X, a.Y + b.Y);

    public static PointPx operator -(PointPx a, PointPx b) => new(a.X - b.X, a.Y - b.Y);

    public static PointPx operator *(PointPx a, double k) => new(a.X * k, a.Y * k);

    /// <summary>Distance from the origin, px.</summary>
    public double Length => Math.Sqrt((X * X) + (Y * Y));

    /// <summary>Distance to another point, px.</summary>
    public double DistanceTo(PointPx other) => (this - other).Length;

    public static PointPx Add(PointPx left, PointPx right) => left + right;

    public static PointPx Subtract(PointPx left, PointPx right) => left - right;

    public static PointPx Multiply(PointPx left, double right) => left * right;
}

/// <summary>Reads and writes <see cref="PointPx"/> as a two-number array, rounded to 1/100 px on writing.</summary>
public sealed class PointPxJson : JsonConverter<PointPx>
{
    public override PointPx Read(ref Utf8JsonReader reader, Type typeToConvert, JsonSerializerOptions options)
    {
        if (reader.TokenType != JsonTokenType.StartArray)
            throw new JsonException("A point is an array of two numbers, [x, y].");
        var x = ReadNumber(ref reader);
        var y = ReadNumber(ref reader);
        if (!reader.Read() || reader.TokenType != JsonTokenType.EndArray)
            throw new JsonException("A point is an array of two numbers, [x, y].");
        return new PointPx(x, y);
    }

    public override void Write(Utf8JsonWriter writer, PointPx value, JsonSerializerOptions options)
    {
        ArgumentNullException.ThrowIfNull(writer);
        writer.WriteStartArray();
        writer.WriteNumberValue(Math.Round(value.X, 2));
        writer.WriteNumberValue(Math.Round(value.Y, 2));
        writer.WriteEndArray();
    }

    private static double ReadNumber(ref Utf8JsonReader reader)
    {
        if (!reader.Read() || reader.TokenType != JsonTokenType.Number || !double.IsFinite(reader.GetDouble()))
            throw new JsonException("A point is an array of two numbers, [x, y].");
        return reader.GetDouble();
    }
}
