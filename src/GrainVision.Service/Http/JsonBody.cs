using System.Text;
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
    /// <summary>The body, or a refusal that says where it is wrong or that it is too long.</summary>
    public static async Task<Outcome<JsonBody<T>>> Read<T>(HttpContext http, int mostBytes)
        where T : class
    {
        if (!(await ReadText(http, mostBytes)).TryGet(out var json, out var refusal))
            return refusal;
        var read = ContractReader.ReadStrict<T>(json);
        return read.Value is { } value ? new JsonBody<T>(value, json) : RefusalCatalog.BodyUnreadable.Because($"The body cannot be read: {read.Problem}.");
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
}
