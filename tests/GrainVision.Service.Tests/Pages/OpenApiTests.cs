using System.Text.Json;
using System.Text.RegularExpressions;
using Microsoft.AspNetCore.Routing;
using Microsoft.Extensions.DependencyInjection;

namespace GrainVision.Service.Tests.Pages;

public partial class OpenApiTests(RunningService service) : IClassFixture<RunningService>
{
    /// <summary>Every route of version 1. A change here is a change of the contract: say so in the commit.</summary>
    private static readonly string[] Routes =
    [
        "GET /health/live",
        "GET /health/ready",
        "GET /v1/decisions",
        "GET /v1/decisions/{id}",
        "GET /v1/deliveries",
        "GET /v1/deliveries/{id}",
        "GET /v1/deliveries/{id}/audit-pack",
        "GET /v1/deliveries/{id}/mill-letter.pdf",
        "GET /v1/deliveries/{id}/report",
        "GET /v1/deliveries/{id}/report.csv",
        "GET /v1/deliveries/{id}/report.json",
        "GET /v1/deliveries/{id}/report.pdf",
        "GET /v1/deliveries/{id}/shop-sheet.pdf",
        "GET /v1/jobs/{id}",
        "GET /v1/jobs/{id}/events",
        "GET /v1/log",
        "GET /v1/log/export",
        "GET /v1/log/verification",
        "GET /v1/log/{number}",
        "GET /v1/measurements/{id}",
        "GET /v1/measurements/{id}/picture",
        "GET /v1/photos/{sha256}",
        "GET /v1/pieces/{id}",
        "GET /v1/pieces/{id}/audit-pack",
        "GET /v1/pieces/{id}/decisions",
        "GET /v1/pieces/{id}/findings",
        "GET /v1/pieces/{id}/inspection-record.pdf",
        "GET /v1/pieces/{id}/questions",
        "GET /v1/rule-books",
        "GET /v1/rule-books/schema",
        "GET /v1/rule-books/{id}",
        "POST /v1/deliveries",
        "POST /v1/deliveries/{id}/photos",
        "POST /v1/deliveries/{id}/photos/{sha256}/retry",
        "POST /v1/measurements",
        "POST /v1/measurements/{id}/replay",
        "POST /v1/pieces/{id}/decisions",
        "POST /v1/pieces/{id}/findings",
        "POST /v1/what-if",
        "PUT /v1/deliveries/{id}/photos/{sha256}/place",
        "PUT /v1/rule-books/{id}",
    ];

    [Fact]
    public async Task Document_ListsExactlyTheRoutesOfTheContract() =>
        Assert.Equal(Routes, Operations(await Document()).Select(o => $"{o.Method} {o.Path}").Order(StringComparer.Ordinal));

    [Fact]
    public void Document_AndProgram_HaveTheSameRoutes()
    {
        using var client = service.CreateClient();
        var mapped = service.Services.GetRequiredService<EndpointDataSource>().Endpoints.OfType<RouteEndpoint>()
            .Where(e => e.Metadata.GetMetadata<HttpMethodMetadata>() is not null)
            .SelectMany(e => e.Metadata.GetMetadata<HttpMethodMetadata>()!.HttpMethods.Select(m => $"{m} {Path(e)}"))
            .Where(r => r.Contains("/v1", StringComparison.Ordinal) || r.Contains("/health", StringComparison.Ordinal))
            .Order(StringComparer.Ordinal);
        Assert.Equal(Routes, mapped);
    }

    [Fact]
    public async Task Document_EveryOperation_IsNamedAndSummarised() =>
        Assert.All(Operations(await Document()), o =>
        {
            Assert.NotEmpty(o.Operation.GetProperty("operationId").GetString()!);
            Assert.NotEmpty(o.Operation.GetProperty("summary").GetString()!);
        });

    [Fact]
    public async Task Document_ShowsTheJsonThatIsReallySent()
    {
        var document = await Document();
        var schemas = document.GetProperty("components").GetProperty("schemas");
        var outline = schemas.GetProperty("Measurement").GetProperty("properties").GetProperty("outline");
        Assert.Equal("array", outline.GetProperty("items").GetProperty("type").GetString()); // [x, y], not {x, y}
        Assert.Equal(["end", "face"], schemas.GetProperty("View").GetProperty("enum").EnumerateArray().Select(v => v.GetString()));
        var kinds = schemas.GetProperty("ScaleRequest").GetProperty("discriminator").GetProperty("mapping").EnumerateObject().Select(k => k.Name);
        Assert.Equal(["auto", "card", "rule", "points", "outlineSize", "pitch"], kinds);
        foreach (var member in new[] { "code", "stage", "advice" })
            Assert.True(schemas.GetProperty("ProblemDetails").GetProperty("properties").TryGetProperty(member, out _));
        var form = document.GetProperty("paths").GetProperty("/v1/measurements").GetProperty("post").GetProperty("requestBody");
        Assert.True(form.GetProperty("content").TryGetProperty("multipart/form-data", out _));
    }

    private async Task<JsonElement> Document()
    {
        using var client = service.CreateClient();
        using var answer = await client.GetAsync("/openapi/v1.json");
        return await answer.Json();
    }

    private static IEnumerable<(string Method, string Path, JsonElement Operation)> Operations(JsonElement document) =>
        from path in document.GetProperty("paths").EnumerateObject()
        from operation in path.Value.EnumerateObject()
        select (operation.Name.ToUpperInvariant(), path.Name, operation.Value);

    private static string Path(RouteEndpoint endpoint) => "/" + Constraint().Replace(endpoint.RoutePattern.RawText!.Trim('/'), "}");

    // "{number:long}" is "{number}" in the document.
    [GeneratedRegex(":[a-z]+}")]
    private static partial Regex Constraint();
}
