using System.Text.Json;

namespace GrainVision.Grading.Findings;

/// <summary>What came of reading a caller's JSON.</summary>
/// <param name="Value">What was read; null where <paramref name="Problem"/> says why not.</param>
/// <param name="Problem">What is wrong with it and where, such as <c>a member is missing at pieces[0]: number</c>; null where nothing is.</param>
/// <param name="Unknown">Members that the type does not know, by their path.</param>
public sealed record ContractRead<T>(T? Value, string? Problem, IReadOnlyDictionary<string, JsonElement> Unknown)
    where T : class;

/// <summary>Reads JSON that a caller wrote, and says in our words what is wrong with it: the serializer's own name our types.</summary>
public static class ContractReader
{
    /// <summary>Reads what must be right to the last member (<see cref="ContractJson.Strict"/>): one that is not known would be a wish that nobody hears.</summary>
    public static ContractRead<T> ReadStrict<T>(string json)
        where T : class => Read<T>(json, ContractJson.Strict, knownOnly: true);

    /// <summary>Reads what may hold members of a later version: they are handed on.</summary>
    public static ContractRead<T> Read<T>(string json)
        where T : class => Read<T>(json, ContractJson.Options, knownOnly: false);

    private static ContractRead<T> Read<T>(string json, JsonSerializerOptions options, bool knownOnly)
        where T : class
    {
        ArgumentNullException.ThrowIfNull(json);
        try
        {
            using var document = JsonDocument.Parse(json, new JsonDocumentOptions { MaxDepth = options.MaxDepth });
            if (document.RootElement.ValueKind != JsonValueKind.Object)
                return Bad<T>("it is not a JSON object");
            var shape = JsonShape.Check(document.RootElement, options.GetTypeInfo(typeof(T)));
            if (shape.Problem is { } problem)
                return Bad<T>(problem);
            return knownOnly && shape.Unknown.Count > 0
                ? Bad<T>($"a member at {shape.Unknown.Keys.First()} is not known")
                : new ContractRead<T>(document.Deserialize<T>(options), null, shape.Unknown);
        }
        catch (JsonException e)
        {
            return Bad<T>("it is not the JSON that is expected" + Place(e));
        }
    }

    private static ContractRead<T> Bad<T>(string problem)
        where T : class => new(null, problem, new Dictionary<string, JsonElement>());

    /// <summary>Where it could not be read, such as <c> at $.pieces[0].number</c>; a line where it is no JSON from there on.</summary>
    private static string Place(JsonException e) => e switch
    {
        { Path: { Length: > 0 } path } => path == "$" ? "" : $" at {path}",
        { LineNumber: > 0 and var line } => $" at line {line + 1}",
        _ => "",
    };
}
