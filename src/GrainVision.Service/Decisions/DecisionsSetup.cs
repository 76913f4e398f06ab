namespace GrainVision.Service.Decisions;

/// <summary>Wires up decisions, and trying other rules on the past.</summary>
internal static class DecisionsSetup
{
    public static void AddDecisions(this WebApplicationBuilder builder)
    {
        builder.Services.AddSingleton<DecisionService>();
        builder.Services.AddSingleton<WhatIfService>();
    }
}
