using System.Reflection;
using System.Text.Json.Serialization;
using GrainVision.Grading.Quantities;
using GrainVision.Service.Http;
using GrainVision.Service.Measurements;
using Microsoft.AspNetCore.Mvc;
using Microsoft.OpenApi;
using Swashbuckle.AspNetCore.SwaggerGen;

namespace GrainVision.Service.Pages;

/// <summary>Tells the OpenAPI document what our JSON really looks like where it cannot be seen from the types.</summary>
internal static class OpenApiShapes
{
    private const string KeyScheme = "apiKey";

    public static void Describe(SwaggerGenOptions options)
    {
        options.MapType<PointPx>(() => new OpenApiSchema
        {
            Type = JsonSchemaType.Array,
            Items = new OpenApiSchema { Type = JsonSchemaType.Number, Format = "double" },
            MinItems = 2,
            MaxItems = 2,
            Description = "[x, y] in pixels of the upright photo, origin at the top left.",
        });
        options.UseAllOfForInheritance();
        options.UseOneOfForPolymorphism();
        options.SelectSubTypesUsing(t => Kinds(t).Select(k => k.DerivedType));
        options.SelectDiscriminatorNameUsing(t => t.GetCustomAttribute<JsonPolymorphicAttribute>()?.TypeDiscriminatorPropertyName);
        options.SelectDiscriminatorValueUsing(t => t.BaseType is { } parent ? Kinds(parent).FirstOrDefault(k => k.DerivedType == t)?.TypeDiscriminator?.ToString() : null);
        options.SchemaFilter<Members>();
        options.OperationFilter<CommonHeaders>();
        options.AddSecurityDefinition(KeyScheme, new OpenApiSecurityScheme
        {
            Type = SecuritySchemeType.ApiKey,
            In = ParameterLocation.Header,
            Name = "X-Api-Key",
            Description = "Needed where keys are configured; Authorization: Bearer works too.",
        });
        options.AddSecurityRequirement(document => new OpenApiSecurityRequirement { [new OpenApiSecuritySchemeReference(KeyScheme, document)] = [] });
    }

    private static IEnumerable<JsonDerivedTypeAttribute> Kinds(Type type) => type.GetCustomAttributes<JsonDerivedTypeAttribute>(inherit: false);

    /// <summary>Members that the types do not show: of every problem, of the form, and room for members of later versions.</summary>
    private sealed class Members : ISchemaFilter
    {
        private static readonly (string Name, string Says)[] OfProblems =
        [
            ("code", "Stable word for programs, such as scale-not-found."),
            ("stage", "Stage that refused: request, intake, scale, section, rings, angle, slope, blemishes, picture, service."),
            ("advice", "What to do next."),
        ];

        public void Apply(IOpenApiSchema schema, SchemaFilterContext context)
        {
            if (schema is not OpenApiSchema shape)
                return;
            shape.AdditionalPropertiesAllowed = true; // "more may be added" within a version; a closed schema would also contradict allOf
            foreach (var part in shape.AllOf?.OfType<OpenApiSchema>() ?? [])
                part.AdditionalPropertiesAllowed = true;
            if (context.Type == typeof(MeasurementEndpoints.MeasureForm))
                shape.Required = new HashSet<string> { "photo", "request" };
            if (context.Type != typeof(ProblemDetails))
                return;
            shape.Properties ??= new Dictionary<string, IOpenApiSchema>();
            foreach (var (name, says) in OfProblems)
                shape.Properties[name] = new OpenApiSchema { Type = JsonSchemaType.String, Description = says };
        }
    }

    /// <summary>Headers that the handlers read and write themselves.</summary>
    private sealed class CommonHeaders : IOperationFilter
    {
        public void Apply(OpenApiOperation operation, OperationFilterContext context)
        {
            if (!context.ApiDescription.ActionDescriptor.EndpointMetadata.OfType<IdempotencyKeys.HonouredMetadata>().Any())
                return;
            operation.Parameters ??= [];
            operation.Parameters.Add(new OpenApiParameter
            {
                Name = IdempotencyKeys.Header,
                In = ParameterLocation.Header,
                Description = $"At most {IdempotencyKeys.Longest} visible ASCII characters. A repeat with the same key and content gives the first answer; other content gives 409.",
                Schema = new OpenApiSchema { Type = JsonSchemaType.String, MaxLength = IdempotencyKeys.Longest },
            });
            if (operation.Responses?.FirstOrDefault(r => r.Key.StartsWith('2')).Value is OpenApiResponse { } ok)
            {
                ok.Headers ??= new Dictionary<string, IOpenApiHeader>();
                ok.Headers["Location"] = new OpenApiHeader { Description = "Where the answer can be read again.", Schema = new OpenApiSchema { Type = JsonSchemaType.String } };
            }
        }
    }
}
