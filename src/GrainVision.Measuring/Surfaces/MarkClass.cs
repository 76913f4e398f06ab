using System.Text.Json;
using GrainVision.Grading.Findings;

namespace GrainVision.Measuring.Surfaces;

/// <summary>
/// What the surface network tells apart, and what the synthesiser paints for it to learn. The first seven are blemishes, the others but the last are
/// harmless. The order is that of models/surface/1/classes.json and of the bits of masks.
/// </summary>
public enum MarkClass
{
    Knot,
    Crack,
    Pocket,
    Hole,
    Dent,
    Stain,
    Pith,
    Marking,
    Machining,
    Dirt,
    Glare,
    IndentedRings,
    BrightSapwood,
    RedStreak,
    Wood,
}

/// <summary>Groups of <see cref="MarkClass"/>, and which output of a network is which.</summary>
internal static class MarkClasses
{
    public static IReadOnlyList<MarkClass> Blemishes { get; } = [.. Enum.GetValues<MarkClass>().Where(c => c < MarkClass.Marking)];

    public static IReadOnlyList<MarkClass> Harmless { get; } = [.. Enum.GetValues<MarkClass>().Where(c => c is >= MarkClass.Marking and < MarkClass.Wood)];

    /// <summary>The contract's code of a harmless class.</summary>
    public static HarmlessKind Code(MarkClass harmless) => harmless switch
    {
        MarkClass.Marking => HarmlessKind.Marking,
        MarkClass.Machining => HarmlessKind.Machining,
        MarkClass.Dirt => HarmlessKind.Dirt,
        MarkClass.Glare => HarmlessKind.Glare,
        MarkClass.IndentedRings => HarmlessKind.IndentedRings,
        MarkClass.BrightSapwood => HarmlessKind.BrightSapwood,
        MarkClass.RedStreak => HarmlessKind.RedStreak,
        _ => throw new ArgumentOutOfRangeException(nameof(harmless), harmless, "not a harmless class"),
    };

    /// <summary>Output number of each class, -1 for a class that the network does not know, from a list of names in the order of the outputs.</summary>
    /// <exception cref="InvalidDataException">A name that no class has.</exception>
    public static int[] Channels(IReadOnlyList<string> names)
    {
        var channel = Enumerable.Repeat(-1, Enum.GetValues<MarkClass>().Length).ToArray();
        for (var i = 0; i < names.Count; i++)
        {
            if (!Enum.TryParse<MarkClass>(names[i], ignoreCase: true, out var one))
                throw new InvalidDataException($"The surface network's class {names[i]} is not known.");
            channel[(int)one] = i;
        }

        return channel;
    }

    /// <summary>The names of classes.json.</summary>
    public static IReadOnlyList<string> ReadNames(byte[] json) =>
        JsonSerializer.Deserialize<ClassList>(json, ContractJson.Options)?.Classes ?? throw new InvalidDataException("No classes.");

    private sealed record ClassList(IReadOnlyList<string> Classes);
}
