using GrainVision.Service.Http;

namespace GrainVision.Service.Guard;

/// <summary>Who may call. Section <c>GrainVision:Guard</c>.</summary>
public sealed class GuardOptions
{
    public const string Section = "GrainVision:Guard";

    /// <summary>24 characters: 128 bits even of a key of base-64 letters only, with room to spare.</summary>
    public const int ShortestKey = 24;

    /// <summary>
    /// Keys that callers show as <c>X-Api-Key</c> or <c>Authorization: Bearer</c>. None: only loopback is listened on and no key is needed.
    /// Any: every call of /v1 needs one, on loopback too, since a proxy on this machine makes all callers look local.
    /// </summary>
    public IList<ApiKey> ApiKeys { get; init; } = [];

    /// <summary>What is wrong with the settings, or null.</summary>
    internal string? Problem()
    {
        for (var i = 0; i < ApiKeys.Count; i++)
        {
            var at = $"{Section}:ApiKeys:{i}";
            if (string.IsNullOrWhiteSpace(ApiKeys[i].Name))
                return $"{at}:Name is empty; name who holds the key.";
            if (ApiKeys[i].Name == Caller.Local)
                return $"{at}:Name is '{Caller.Local}', which in the records means: called without a key. Use another name.";
            if (ApiKeys[i].Key.Length < ShortestKey)
                return $"{at}:Key is shorter than {ShortestKey} characters; make one with: openssl rand -base64 32";
        }

        return ApiKeys.DistinctBy(k => k.Name, StringComparer.Ordinal).Count() == ApiKeys.Count ? null : $"{Section}:ApiKeys: two keys have the same name.";
    }
}

/// <summary>One key and who holds it.</summary>
public sealed class ApiKey
{
    /// <summary>Goes into the records; not a secret.</summary>
    public string Name { get; init; } = "";

    public string Key { get; init; } = "";

    /// <summary>Photos as received may show where somebody stood. Only a key with this right is given them; without keys nobody is.</summary>
    public bool MayReadOriginals { get; init; }
}
