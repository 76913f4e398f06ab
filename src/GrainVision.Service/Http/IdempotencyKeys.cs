using System.Security.Cryptography;
using System.Text;
using GrainVision.Grading.Refusals;
using GrainVision.Records.Measurements;

namespace GrainVision.Service.Http;

/// <summary>The Idempotency-Key of a request, fit to be used; or the sign that none was sent.</summary>
/// <param name="Client">Who sent it: keys of different clients never meet.</param>
/// <param name="Text">As sent; null where none was.</param>
internal sealed record SentKey(string Client, string? Text)
{
    /// <summary>The key with a hash of everything that the request holds; null where none was sent.</summary>
    public IdempotencyKey? Over(params IReadOnlyList<string> content)
    {
        if (Text is null)
            return null;
        using var hash = IncrementalHash.CreateHash(HashAlgorithmName.SHA256);
        foreach (var part in content)
            hash.AppendData(SHA256.HashData(Encoding.UTF8.GetBytes(part)));
        return new IdempotencyKey(Client, Text, Convert.ToHexStringLower(hash.GetHashAndReset()));
    }
}

/// <summary>
/// Idempotency of the POSTs that record something: the filter reads the header before the body, the handler gets the key by
/// <see cref="From"/>, the service looks up the first answer by <see cref="FirstAnswer"/>.
/// </summary>
internal static class IdempotencyKeys
{
    public const string Header = "Idempotency-Key";

    /// <summary>200: longest idempotency key, characters; a UUID has 36.</summary>
    public const int Longest = 200;

    private static readonly object Slot = new();

    private static readonly Refusal Unfit = RefusalCatalog.IdempotencyKeyUnfit.Because($"The Idempotency-Key must be 1 to {Longest} visible ASCII characters.");

    private static readonly Refusal Reused = RefusalCatalog.IdempotencyKeyReused.Because("This Idempotency-Key was used for another photo or request.");

    /// <summary>Finds what was answered to a key; <paramref name="sameContent"/> is false where it was used for other content.</summary>
    public delegate T? Find<out T>(IdempotencyKey key, out bool sameContent);

    /// <summary>Reads the header of every request to this route; one that is unfit is refused before the body is read.</summary>
    public static RouteHandlerBuilder HonoursIdempotencyKey(this RouteHandlerBuilder route) => route
        .WithMetadata(new HonouredMetadata())
        .AddEndpointFilter(async (context, next) =>
        {
            var http = context.HttpContext;
            var text = http.Request.Headers.TryGetValue(Header, out var sent) ? sent.ToString() : null;
            if (text is not null && (text.Length is 0 or > Longest || text.Any(c => c is < '!' or > '~')))
                return Problems.From(Unfit);
            http.Items[Slot] = new SentKey(Caller.NameOf(http), text);
            return await next(context);
        });

    /// <summary>The key of this request; the route must honour keys.</summary>
    public static SentKey From(HttpContext http) => (SentKey)http.Items[Slot]!;

    /// <summary>What was answered to the key, or the refusal of a key used for other content; null where the key is new or there is none.</summary>
    public static Outcome<T>? FirstAnswer<T>(IdempotencyKey? key, Find<T> find)
        where T : class
    {
        if (key is null || find(key, out var same) is not { } first)
            return null;
        return same ? first : Reused;
    }

    /// <summary>The answer of the other one of two requests that ran side by side with one key, for the one that could not record its own.</summary>
    public static Outcome<T> AnswerOfTheOther<T>(IdempotencyKey? key, Find<T> find)
        where T : class => FirstAnswer(key, find) ?? throw new InvalidOperationException("The key is taken, yet nothing was answered to it.");

    /// <summary>Marks a route that honours the header, for the OpenAPI document.</summary>
    internal sealed record HonouredMetadata;
}
