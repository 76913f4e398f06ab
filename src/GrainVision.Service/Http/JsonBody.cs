using System.Text;
using System.Text.Json;
using System.Text.Json.Serialization;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Refusals;

namespace GrainVision.Service.Http;

/// <summary>Bodies that are JSON, counted as they come. Strict: a member that is not known would be a wish that nobody hears.</summary>
internal static class JsonBody
{
    private static readonly JsonSerializerOptions Strict = Make();

    /// <summary>The body as text, or a refusal where it is too long.</summary>
    public static async Task<Outcome<string>> Read(HttpContext http, int mostBytes)
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

    /// <summary>The body as an object, or a refusal that says where it is wrong.</summary>
    public static Outcome<T> As<T>(string json)
        where T : class
    {
        try
        {
            return JsonSerializer.Deserialize<T>(json, Strict) is { } read ? read : Unreadable("it is null");
        }
        catch (JsonException e)
        {
            var place = string.IsNullOrEmpty(e.Path) || e.Path == "$" ? "" : $" at {e.Path}";
            return Unreadable(e.Message.Contains("could not be mapped", StringComparison.Ordinal) ? $"a member{place} is not known"
                : e.Message.Contains("missing required", StringComparison.Ordinal) ? $"a member that is needed is missing{place}"
                : $"it is not the JSON that is expected{place}");
        }
    }

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
