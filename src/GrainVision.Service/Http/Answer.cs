using System.Buffers;
using System.Text;
using System.Text.Json;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Refusals;

namespace GrainVision.Service.Http;

/// <summary>Answers in the contract's JSON.</summary>
internal static class Answer
{
    public static IResult Json<T>(T answer, int status = StatusCodes.Status200OK) => Results.Json(answer, ContractJson.Options, statusCode: status);

    /// <summary>What was found, or the problem that says why not.</summary>
    public static IResult From<T>(Outcome<T> outcome, int status = StatusCodes.Status200OK)
        where T : class => outcome.TryGet(out var found, out var refusal) ? Json(found, status) : Problems.From(refusal);

    /// <summary>JSON that was written already, byte for byte.</summary>
    public static IResult Written(string json, int status = StatusCodes.Status200OK) => Results.Content(json, "application/json", Encoding.UTF8, status);

    /// <summary>A page of items that are JSON already: <c>{"items":[…],"after":n}</c>; without <c>after</c> it is the last page.</summary>
    /// <param name="name">Name of the list.</param>
    /// <param name="items">Each a whole JSON value, passed on byte for byte.</param>
    /// <param name="after">Key of the next page.</param>
    public static IResult Page(string name, IEnumerable<string> items, long? after) => Written(RawJson(json =>
    {
        json.WriteStartArray(name);
        foreach (var item in items)
            json.WriteRawValue(item);
        json.WriteEndArray();
        if (after is { } key)
            json.WriteNumber("after", key);
    }));

    /// <summary>An object written member by member; values that are JSON already go in as they are.</summary>
    public static string RawJson(Action<Utf8JsonWriter> members)
    {
        var bytes = new ArrayBufferWriter<byte>();
        using (var json = new Utf8JsonWriter(bytes, new JsonWriterOptions { Encoder = ContractJson.Options.Encoder }))
        {
            json.WriteStartObject();
            members(json);
            json.WriteEndObject();
        }

        return Encoding.UTF8.GetString(bytes.WrittenSpan);
    }
}
