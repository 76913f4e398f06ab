using GrainVision.Grading.Verdicts;
using Microsoft.OpenApi;

namespace GrainVision.Service.Pages;

/// <summary>The upload page, the OpenAPI document and the API page.</summary>
internal static class PagesSetup
{
    public static void AddOpenApiPages(this WebApplicationBuilder builder)
    {
        builder.Services.AddEndpointsApiExplorer();
        builder.Services.AddSwaggerGen(o =>
        {
            o.SwaggerDoc("v1", new OpenApiInfo
            {
                Title = "GrainVision",
                Version = "v1",
                Description = "Measures wood for aircraft from photographs. " + VerdictCautions.Short,
            });
            OpenApiShapes.Describe(o);
        });
    }

    public static void UsePages(this WebApplication app)
    {
        app.UseDefaultFiles();
        app.UseStaticFiles();
        app.UseSwagger(o => o.RouteTemplate = "openapi/{documentName}.json");
        app.UseSwaggerUI(o =>
        {
            o.SwaggerEndpoint("/openapi/v1.json", "GrainVision v1");
            o.RoutePrefix = "swagger";
            o.DocumentTitle = "GrainVision API";
        });
    }
}
