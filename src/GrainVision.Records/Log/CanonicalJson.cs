using System.Buffers;
using System.Globalization;
using System.Runtime.InteropServices;
using System.Text;
using System.Text.Json;

namespace GrainVision.Records.Log;

/// <summary>
/// One way of writing any JSON, so that the same content always has the same hash: RFC 8785 (JSON Canonicalization Scheme). Members
/// sorted by UTF-16 code units, no white space, numbers as ECMAScript writes a double.
/// </summary>
/// <remarks>Numbers are doubles: digits beyond those of a double are lost, as the RFC's I-JSON (RFC 7493) says.</remarks>
public static class CanonicalJson
{
    private const string HexDigits = "0123456789abcdef";

    /// <summary>21: from 10 to the power of 21 on ECMAScript writes an exponent.</summary>
    private const int PlainUpTo = 21;

    /// <summary>-6: below 10 to the power of -6 ECMAScript writes an exponent.</summary>
    private const int PlainDownTo = -6;

    private static readonly JsonDocumentOptions Strict = new() { AllowDuplicateProperties = false };

    /// <summary>Canonical UTF-8 of a JSON text.</summary>
    /// <exception cref="FormatException">It is not JSON, a member stands twice, or a string holds half a surrogate pair.</exception>
    public static byte[] From(ReadOnlyMemory<byte> utf8Json)
    {
        try
        {
            using var document = JsonDocument.Parse(utf8Json, Strict);
            return From(document.RootElement);
        }
        catch (JsonException e)
        {
            throw new FormatException("It is not JSON, or a member stands twice.", e);
        }
        catch (InvalidOperationException e)
        {
            throw new FormatException("A name holds half a surrogate pair.", e);
        }
    }

    /// <summary>Canonical UTF-8 of a JSON text. See <see cref="From(ReadOnlyMemory{byte})"/>.</summary>
    public static byte[] From(string json) => From(Encoding.UTF8.GetBytes(json));

    /// <summary>Canonical UTF-8 of a JSON value. See <see cref="From(ReadOnlyMemory{byte})"/>.</summary>
    public static byte[] From(JsonElement element) => Write(element, 2_048).WrittenSpan.ToArray();

    /// <summary>True where a value was written in canonical form.</summary>
    /// <param name="element">The value.</param>
    /// <param name="written">The bytes that it was read from.</param>
    /// <exception cref="FormatException">It has no canonical form. See <see cref="From(ReadOnlyMemory{byte})"/>.</exception>
    public static bool IsCanonical(JsonElement element, ReadOnlySpan<byte> written) => Write(element, written.Length + 256).WrittenSpan.SequenceEqual(written);

    /// <summary>A number as ECMAScript's Number::toString writes it (ECMA-262, 7.1.12.1 of the 10th edition).</summary>
    /// <exception cref="FormatException">It is not finite: JSON has no such number.</exception>
    public static string Number(double value)
    {
        if (!double.IsFinite(value))
            throw new FormatException("JSON has no infinity and no NaN.");
        if (value == 0)
            return "0"; // minus zero too
        // "R" gives the shortest digits that read back as the same double, the nearest of them: what ECMAScript asks for.
        var shortest = value.ToString("R", CultureInfo.InvariantCulture);
        var at = shortest.IndexOf('E', StringComparison.Ordinal);
        if (at < 0)
            return shortest;
        var sign = shortest[0] == '-' ? "-" : "";
        var mantissa = shortest[sign.Length..at];
        var exponent = int.Parse(shortest.AsSpan(at + 1), NumberStyles.AllowLeadingSign, CultureInfo.InvariantCulture);
        var digits = mantissa.Replace(".", "", StringComparison.Ordinal);
        var point = exponent + 1; // the decimal point stands after so many digits
        if (point > PlainUpTo || point <= PlainDownTo)
            return $"{sign}{digits[0]}{(digits.Length > 1 ? "." + digits[1..] : "")}e{(exponent < 0 ? '-' : '+')}{Math.Abs(exponent)}";
        if (point <= 0)
            return $"{sign}0.{new string('0', -point)}{digits}";
        return digits.Length <= point ? sign + digits.PadRight(point, '0') : $"{sign}{digits[..point]}.{digits[point..]}";
    }

    private static ArrayBufferWriter<byte> Write(JsonElement element, int capacity)
    {
        var to = new ArrayBufferWriter<byte>(capacity);
        try
        {
            Write(element, to);
        }
        catch (InvalidOperationException e)
        {
            throw new FormatException("A string holds half a surrogate pair.", e);
        }

        return to;
    }

    private static void Write(JsonElement element, ArrayBufferWriter<byte> to)
    {
        switch (element.ValueKind)
        {
            case JsonValueKind.Object:
                WriteObject(element, to);
                break;
            case JsonValueKind.Array:
                var next = false;
                to.Write("["u8);
                foreach (var item in element.EnumerateArray())
                {
                    if (next)
                        to.Write(","u8);
                    next = true;
                    Write(item, to);
                }

                to.Write("]"u8);
                break;
            case JsonValueKind.String:
                // ASCII without an escape is canonical as it stands, quotes and all.
                var raw = JsonMarshal.GetRawUtf8Value(element);
                if (Ascii.IsValid(raw) && !raw.Contains((byte)'\\'))
                    to.Write(raw);
                else
                    WriteString(element.GetString()!, to);
                break;
            case JsonValueKind.Number:
                Encoding.UTF8.GetBytes(Number(element.GetDouble()), to);
                break;
            case JsonValueKind.True:
                to.Write("true"u8);
                break;
            case JsonValueKind.False:
                to.Write("false"u8);
                break;
            case JsonValueKind.Null:
                to.Write("null"u8);
                break;
            default:
                throw new FormatException("There is no value.");
        }
    }

    private static void WriteObject(JsonElement element, ArrayBufferWriter<byte> to)
    {
        var members = new List<(string Name, JsonElement Value)>();
        foreach (var member in element.EnumerateObject())
            members.Add((member.Name, member.Value));
        members.Sort((a, b) => string.CompareOrdinal(a.Name, b.Name));
        to.Write("{"u8);
        for (var i = 0; i < members.Count; i++)
        {
            if (i > 0 && members[i].Name == members[i - 1].Name)
                throw new FormatException($"The member '{members[i].Name}' stands twice.");
            if (i > 0)
                to.Write(","u8);
            WriteString(members[i].Name, to);
            to.Write(":"u8);
            Write(members[i].Value, to);
        }

        to.Write("}"u8);
    }

    private static void WriteString(string text, ArrayBufferWriter<byte> to)
    {
        to.Write("\""u8);
        var plainFrom = 0;
        for (var i = 0; i < text.Length; i++)
        {
            if (text[i] is >= ' ' and not '"' and not '\\')
                continue;
            WritePlain(text.AsSpan(plainFrom, i - plainFrom), to);
            Encoding.UTF8.GetBytes(Escape(text[i]), to);
            plainFrom = i + 1;
        }

        WritePlain(text.AsSpan(plainFrom), to);
        to.Write("\""u8);
    }

    private static void WritePlain(ReadOnlySpan<char> text, ArrayBufferWriter<byte> to)
    {
        var span = to.GetSpan((text.Length * 3) + 1);
        if (System.Text.Unicode.Utf8.FromUtf16(text, span, out _, out var written, replaceInvalidSequences: false) != OperationStatus.Done)
            throw new FormatException("A string holds half a surrogate pair.");
        to.Advance(written);
    }

    private static string Escape(char c) => c switch
    {
        '"' => "\\\"",
        '\\' => "\\\\",
        '\b' => "\\b",
        '\t' => "\\t",
        '\n' => "\\n",
        '\f' => "\\f",
        '\r' => "\\r",
        _ => $"\\u00{HexDigits[c >> 4]}{HexDigits[c & 15]}",
    };
}
