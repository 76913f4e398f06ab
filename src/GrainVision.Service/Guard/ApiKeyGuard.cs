using System.Security.Cryptography;
using System.Text;
using GrainVision.Grading.Refusals;
using GrainVision.Service.Http;
using Microsoft.Extensions.Options;

namespace GrainVision.Service.Guard;

/// <summary>Lets a call of /v1 through when it shows a configured key; without configured keys, when it was meant for this machine.</summary>
internal sealed class ApiKeyGuard(RequestDelegate next, IOptions<GuardOptions> options)
{
    private static readonly Refusal KeyMissing = RefusalCatalog.ApiKeyMissing.Because("This service asks for an API key.");

    private static readonly Refusal KeyUnknown = RefusalCatalog.ApiKeyUnknown.Because("The API key is not known here.");

    private static readonly Refusal NotLocal = RefusalCatalog.HostNotLocal.Because("Without API keys this service answers only to localhost.");

    private readonly (ApiKey Key, byte[] Hash)[] _keys =
        [.. options.Value.ApiKeys.Select(k => (k, SHA256.HashData(Encoding.UTF8.GetBytes(k.Key))))];

    public async Task InvokeAsync(HttpContext http)
    {
        if (http.Request.Path.StartsWithSegments("/v1") && Judge(http) is { } refusal)
        {
            if (refusal.Fate == RefusalFate.NoKey)
                http.Response.Headers.WWWAuthenticate = "Bearer";
            await Problems.From(refusal).ExecuteAsync(http);
            return;
        }

        await next(http);
    }

    private Refusal? Judge(HttpContext http)
    {
        if (_keys.Length == 0)
        {
            // A page on the web may point its own name at 127.0.0.1 or post here from a browser on this machine: neither is local.
            return IsLocalName(http.Request.Host.Host) && http.Request.Headers["Sec-Fetch-Site"] != "cross-site" ? null : NotLocal;
        }

        if (ShownKey(http.Request) is not { } shown)
            return KeyMissing;
        if (Find(shown) is not { } known)
            return KeyUnknown;
        Caller.SetName(http, known.Name);
        if (known.MayReadOriginals)
            Caller.LetReadOriginals(http);
        return null;
    }

    /// <summary>Compares with every key in constant time, so that the time taken says nothing about any of them.</summary>
    private ApiKey? Find(string shown)
    {
        var hash = SHA256.HashData(Encoding.UTF8.GetBytes(shown));
        ApiKey? found = null;
        foreach (var (key, keyHash) in _keys)
        {
            if (CryptographicOperations.FixedTimeEquals(hash, keyHash))
                found = key;
        }

        return found;
    }

    private static string? ShownKey(HttpRequest request)
    {
        if (request.Headers["X-Api-Key"].ToString() is { Length: > 0 } key)
            return key;
        const string bearer = "Bearer ";
        var authorization = request.Headers.Authorization.ToString();
        return authorization.StartsWith(bearer, StringComparison.OrdinalIgnoreCase) ? authorization[bearer.Length..].Trim() : null;
    }

    private static bool IsLocalName(string host) =>
        host is "localhost" or "" || (System.Net.IPAddress.TryParse(host.Trim('[', ']'), out var address) && System.Net.IPAddress.IsLoopback(address));
}
