using System.Text.Encodings.Web;
using System.Text.Json;
using System.Text.Json.Serialization;

namespace GrainVision.Grading.Findings;

/// <summary>One way of writing JSON for HTTP, files and log: camelCase, enums as contract words, nulls left out.</summary>
public static class ContractJson
{
    /// <summary>Shared, read-only options. Unknown members are kept apart by the types that care; NaN is never written.</summary>
    public static JsonSerializerOptions Options { get; } = Make();

    /// <summary>The same for what a caller writes by hand: an unknown or repeated member is an error, and so is a missing one that has no default.</summary>
    public static JsonSerializerOptions Strict { get; } = Make(strict: true);

    /// <summary>Applies the contract's habits to options that a framework owns.</summary>
    public static void Apply(JsonSerializerOptions options)
    {
        ArgumentNullException.ThrowIfNull(options);
        options.PropertyNamingPolicy = JsonNamingPolicy.CamelCase;
        options.DictionaryKeyPolicy = null;
        options.DefaultIgnoreCondition = JsonIgnoreCondition.WhenWritingNull;
        options.NumberHandling = JsonNumberHandling.Strict;
        options.AllowTrailingCommas = false;
        options.AllowOutOfOrderMetadataProperties = true;
        options.MaxDepth = 32;
        // ≥, ° and ⅔ stay readable in files; HTML never embeds this JSON unescaped.
        options.Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping;
        options.Converters.Add(new JsonStringEnumConverter(JsonNamingPolicy.KebabCaseLower, allowIntegerValues: false));
    }

    private static JsonSerializerOptions Make(bool strict = false)
    {
        var options = new JsonSerializerOptions();
        Apply(options);
        if (strict)
        {
            options.UnmappedMemberHandling = JsonUnmappedMemberHandling.Disallow;
            options.AllowDuplicateProperties = false;
            options.RespectNullableAnnotations = true;
            options.RespectRequiredConstructorParameters = true;
        }

        options.MakeReadOnly(populateMissingResolver: true);
        return options;
    }
}
