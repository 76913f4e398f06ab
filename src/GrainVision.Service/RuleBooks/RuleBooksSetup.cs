using GrainVision.Records.RuleBooks;

namespace GrainVision.Service.RuleBooks;

/// <summary>Wires up the rule books.</summary>
internal static class RuleBooksSetup
{
    public static void AddRuleBooks(this WebApplicationBuilder builder)
    {
        builder.Services.AddSingleton<RuleBookStore>();
        builder.Services.AddSingleton<RuleBookCatalog>();
    }
}
