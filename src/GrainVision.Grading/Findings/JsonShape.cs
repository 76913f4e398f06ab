using System.Text.Json;
using System.Text.Json.Serialization.Metadata;
using GrainVision.Grading.Quantities;

namespace GrainVision.Grading.Findings;

/// <summary>
/// JSON held against the members that a type knows, before it is read: says in our words what is wrong with it, and collects the members that
/// nobody knows. The serializer would name our types.
/// </summary>
internal sealed class JsonShape
{
    private readonly Dictionary<string, JsonElement> _unknown = new(StringComparer.Ordinal);

    private JsonShape()
    {
    }

    /// <summary>Members that the type does not know, by their path such as <c>scale.colour</c>.</summary>
    public IReadOnlyDictionary<string, JsonElement> Unknown => _unknown;

    /// <summary>The first thing that is wrong: a member given twice, one that is missing, a kind that there is not; null where nothing is.</summary>
    public string? Problem { get; private set; }

    public static JsonShape Check(JsonElement json, JsonTypeInfo type)
    {
        var shape = new JsonShape();
        shape.Problem = shape.Look(json, type, "");
        return shape;
    }

    private string? Look(JsonElement json, JsonTypeInfo type, string path)
    {
        if (type.Type == typeof(PointPx))
            return IsPoint(json) ? null : $"a point{At(path)} is not [x, y]";
        return (type.Kind, json.ValueKind) switch
        {
            (JsonTypeInfoKind.Object, JsonValueKind.Object) => LookAtObject(json, type, path),
            (JsonTypeInfoKind.Enumerable, JsonValueKind.Array) => First(json.EnumerateArray().Select((item, i) => Look(item, Info(type, type.ElementType!), $"{path}[{i}]"))),
            _ => null, // the serializer says whether a value is of the right kind
        };
    }

    private string? LookAtObject(JsonElement json, JsonTypeInfo type, string path)
    {
        var names = json.EnumerateObject().Select(m => m.Name).ToList();
        if (names.Distinct(StringComparer.Ordinal).Count() != names.Count)
            return "a member is given twice";
        var kindName = type.PolymorphismOptions?.TypeDiscriminatorPropertyName;
        if (type.PolymorphismOptions is { } kinds)
        {
            var kind = json.TryGetProperty(kindName!, out var said) && said.ValueKind == JsonValueKind.String ? said.GetString() : null;
            if (kinds.DerivedTypes.FirstOrDefault(d => d.TypeDiscriminator as string == kind) is not { DerivedType: { } derived } || kind is null)
                return $"the {kindName}{At(path)} is not one of {string.Join(", ", kinds.DerivedTypes.Select(d => d.TypeDiscriminator))}";
            type = Info(type, derived);
        }

        // A property that JSON may not name has neither a getter nor a setter here.
        var known = type.Properties.Where(p => !p.IsExtensionData && (p.Get is not null || p.Set is not null)).ToList();
        var missing = known.Where(p => IsNeeded(p) && !names.Contains(p.Name)).Select(p => p.Name).ToList();
        if (missing.Count > 0)
            return $"a member is missing{At(path)}: {string.Join(", ", missing)}";
        foreach (var name in names.Where(n => n != kindName && !known.Exists(p => p.Name == n)))
            _unknown[Join(path, name)] = json.GetProperty(name).Clone();
        return First(known.Where(p => names.Contains(p.Name)).Select(p => Look(json.GetProperty(p.Name), Info(type, p.PropertyType), Join(path, p.Name))));
    }

    private static bool IsNeeded(JsonPropertyInfo property) =>
        property.IsRequired || (property.Options.RespectRequiredConstructorParameters && property.AssociatedParameter is { HasDefaultValue: false });

    private static bool IsPoint(JsonElement json) =>
        json.ValueKind == JsonValueKind.Array && json.GetArrayLength() == 2 && json.EnumerateArray().All(n => n.ValueKind == JsonValueKind.Number);

    private static JsonTypeInfo Info(JsonTypeInfo parent, Type type) => parent.Options.GetTypeInfo(type);

    private static string? First(IEnumerable<string?> problems) => problems.FirstOrDefault(p => p is not null);

    private static string Join(string path, string name) => path.Length == 0 ? name : $"{path}.{name}";

    private static string At(string path) => path.Length == 0 ? "" : $" at {path}";
}
