using System.Text;
using System.Text.Json;
using System.Text.Json.Serialization;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Refusals;

namespace GrainVision.Service.Http;

/// <summary>A body that was read.</summary>
/// <param name="Read">As an object.</param>
/// <param name="Json">As sent.</param>
internal sealed record JsonBody<T>(T Read, string Json);

/// <summary>Bodies that are JSON, counted as they come. Strict: a member that is not known would be a wish that nobody hears.</summary>
internal static class JsonBody
{
    private static readonly JsonSerializerOptions Strict = Make();

    /// <summary>The body, or a refusal that says where it is wrong or that it is too long.</summary>
    public static async Task<Outcome<JsonBody<T>>> Read<T>(HttpContext http, int mostBytes)
        where T : class
    {
        if (!(await ReadText(http, mostBytes)).TryGet(out var json, out var refusal))
            return refusal;
        return Parse<T>(json).TryGet(out var read, out refusal) ? new JsonBody<T>(read, json) : refusal;
    }

    /// <summary>The body as text, or a refusal where it is too long.</summary>
    public static async Task<Outcome<string>> ReadText(HttpContext http, int mostBytes)
    {
        using var held = new MemoryStream();
        var buffer = new byte[16_384];
        int n;
        while ((n = await http.Request.Body.ReadAsync(buffer, http.RequestAborted)) > 0)
        {
            if (held.Length + n > mostBytes)
                return Problems.BodyTooLarge;
            held.Write(buffer, 0, n);
        }

        return Encoding.UTF8.GetString(held.GetBuffer(), 0, (int)held.Length);
    }

    private static Outcome<T> Parse<T>(string json)
        where T : class
    {
        try
        {
            using var document = JsonDocument.Parse(json, new JsonDocumentOptions { MaxDepth = Strict.MaxDepth });
            var shape = JsonShape.Check(document.RootElement, Strict.GetTypeInfo(typeof(T)));
            if (shape.Problem is { } problem)
                return Unreadable(problem);
            if (shape.Unknown.Count > 0)
                return Unreadable($"a member at {shape.Unknown.Keys.First()} is not known");
            return document.Deserialize<T>(Strict) is { } read ? read : Unreadable("it is null");
        }
        catch (JsonException e)
        {
            return Unreadable($"it is not the JSON that is expected{PlaceOf(e)}");
        }
    }

    /// <summary>Where JSON could not be read, such as <c> at $.pieces[0].number</c>; empty where that is nowhere in particular.</summary>
    public static string PlaceOf(JsonException e) => string.IsNullOrEmpty(e.Path) || e.Path == "$" ? "" : $" at {e.Path}";

    private static Refusal Unreadable(string why) => RefusalCatalog.BodyUnreadable.Because($"The body cannot be read: {why}.");

    private static JsonSerializerOptions Make()
    {
        var options = new JsonSerializerOptions();
        ContractJson.Apply(options);
        options.UnmappedMemberHandling = JsonUnmappedMemberHandling.Disallow;
        options.AllowDuplicateProperties = false;
        options.RespectNullableAnnotations = true;
        // A place without its surface must not mean the first one there is.
        options.RespectRequiredConstructorParameters = true;
        options.MakeReadOnly(populateMissingResolver: true);
        return options;
    }
}
