using System.Text.Json;
using GrainVision.Grading.Findings;

namespace GrainVision.Records.Schema;

/// <summary>Enums as columns hold them: by their words in the contract.</summary>
internal static class EnumWords
{
    public static T Read<T>(string word)
        where T : struct, Enum => JsonSerializer.SerializeToElement(word).Deserialize<T>(ContractJson.Options);

    public static string Write<T>(T value)
        where T : struct, Enum => JsonSerializer.SerializeToElement(value, ContractJson.Options).GetString()!;
}
