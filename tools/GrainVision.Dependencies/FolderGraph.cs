using Mono.Cecil;
using Mono.Cecil.Cil;

namespace GrainVision.Dependencies;

/// <summary>Which folder of an assembly uses which: read from the compiled code, so that a using line that nothing needs counts for nothing.</summary>
/// <param name="Assembly">Name of the project.</param>
/// <param name="Uses">Folders (the namespace after the project's name; "." for the root) in alphabetical order, each with the other folders that it uses.</param>
public sealed record FolderGraph(string Assembly, IReadOnlyDictionary<string, IReadOnlyCollection<string>> Uses)
{
    private const string Root = ".";

    /// <summary>Reads an assembly file.</summary>
    /// <param name="path">Of a managed DLL.</param>
    public static FolderGraph Read(string path)
    {
        using var module = ModuleDefinition.ReadModule(path);
        var project = module.Assembly.Name.Name;
        // The command line's assembly has the program's name; its folders are told by its namespaces.
        var prefix = project.StartsWith("GrainVision", StringComparison.Ordinal) ? project : "GrainVision.Cli";
        var uses = new SortedDictionary<string, SortedSet<string>>(StringComparer.Ordinal);
        foreach (var type in module.GetTypes())
        {
            if (Folder(type, prefix) is not { } from)
                continue;
            if (!uses.TryGetValue(from, out var to))
                uses[from] = to = new SortedSet<string>(StringComparer.Ordinal);
            foreach (var used in TypesOf(type))
            {
                if (Folder(used, prefix) is { } folder && folder != from)
                    to.Add(folder);
            }
        }

        return new FolderGraph(prefix, uses.ToDictionary(u => u.Key, u => (IReadOnlyCollection<string>)u.Value, StringComparer.Ordinal));
    }

    /// <summary>
    /// Groups of folders that use each other round in a ring (strongly connected components of two folders or more, R. Tarjan 1972, doi:10.1137/0201010).
    /// The root is left out: it composes the folders, and may be seen by them.
    /// </summary>
    public IReadOnlyList<IReadOnlyList<string>> Cycles()
    {
        var reach = Uses.Keys.Where(k => k != Root).ToDictionary(k => k, Reachable, StringComparer.Ordinal);
        var rings = new List<IReadOnlyList<string>>();
        foreach (var folder in reach.Keys.Order(StringComparer.Ordinal))
        {
            var ring = reach.Keys.Where(o => reach[folder].Contains(o) && reach[o].Contains(folder)).Order(StringComparer.Ordinal).ToList();
            if (ring.Count > 1 && ring[0] == folder)
                rings.Add(ring);
        }

        return rings;
    }

    private HashSet<string> Reachable(string from)
    {
        var seen = new HashSet<string>(StringComparer.Ordinal);
        var waiting = new Stack<string>([from]);
        while (waiting.TryPop(out var folder))
        {
            foreach (var next in Uses.GetValueOrDefault(folder) ?? [])
            {
                if (next != Root && seen.Add(next))
                    waiting.Push(next);
            }
        }

        return seen;
    }

    private static string? Folder(TypeReference type, string prefix)
    {
        var outer = type;
        while (outer.DeclaringType is { } declaring)
            outer = declaring;
        return outer.Namespace == prefix ? Root
            : outer.Namespace.StartsWith(prefix + ".", StringComparison.Ordinal) ? outer.Namespace[(prefix.Length + 1)..]
            : null;
    }

    private static IEnumerable<TypeReference> TypesOf(TypeDefinition type)
    {
        IEnumerable<TypeReference?> direct =
        [
            type.BaseType,
            .. type.Interfaces.Select(i => i.InterfaceType),
            .. type.Fields.Select(f => f.FieldType),
            .. type.Properties.Select(p => p.PropertyType),
            .. type.CustomAttributes.Select(a => a.AttributeType),
            .. type.Methods.SelectMany(TypesOf),
        ];
        return direct.OfType<TypeReference>().SelectMany(Parts);
    }

    private static IEnumerable<TypeReference?> TypesOf(MethodDefinition method)
    {
        yield return method.ReturnType;
        foreach (var parameter in method.Parameters)
            yield return parameter.ParameterType;
        if (!method.HasBody)
            yield break;
        foreach (var local in method.Body.Variables)
            yield return local.VariableType;
        foreach (var instruction in method.Body.Instructions)
        {
            switch (instruction.Operand)
            {
                case TypeReference t:
                    yield return t;
                    break;
                case MethodReference m:
                    yield return m.DeclaringType;
                    yield return m.ReturnType;
                    foreach (var argument in (m as GenericInstanceMethod)?.GenericArguments ?? [])
                        yield return argument;
                    break;
                case FieldReference f:
                    yield return f.DeclaringType;
                    break;
            }
        }
    }

    /// <summary>A type with its arguments and element type: a list of findings uses findings.</summary>
    private static IEnumerable<TypeReference> Parts(TypeReference type) => type switch
    {
        GenericInstanceType generic => generic.GenericArguments.SelectMany(Parts).Prepend(generic.ElementType),
        TypeSpecification of => Parts(of.ElementType),
        _ => [type],
    };
}
