using GrainVision.Records.RuleBooks;
using GrainVision.Service.Guard;

namespace GrainVision.Service.RuleBooks;

/// <summary>Wires up the rule books.</summary>
internal static class RuleBooksSetup
{
    public static void AddRuleBooks(this WebApplicationBuilder builder)
    {
        builder.Services.AddSingleton<RuleBookStore>();
        builder.Services.AddSingleton<RuleBookCatalog>();
    }

    /// <summary>Loads the rule books before anything is judged by them.</summary>
    /// <exception cref="StartRefusedException">A book in the records is not the one on the log.</exception>
    public static void LoadRuleBooks(this WebApplication app) => app.Services.GetRequiredService<RuleBookCatalog>();
}
