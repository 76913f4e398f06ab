using System.Collections;
using System.ComponentModel.DataAnnotations;
using System.Globalization;
using System.Reflection;
using System.Text.RegularExpressions;
using GrainVision.Measuring.Intake;
using GrainVision.Service.Measurements;
using Microsoft.AspNetCore.Routing;
using Microsoft.Extensions.DependencyInjection;

namespace GrainVision.Service.Tests;

/// <summary>The service's README says what the program does: every setting with its range and default, every route.</summary>
public partial class ReferenceTests(RunningService service) : IClassFixture<RunningService>
{
    [Fact]
    public void Settings_InTheReadme_AreThoseOfTheOptions()
    {
        var settings = typeof(WorkOptions).Assembly.GetTypes()
            .Where(t => t.GetField("Section", BindingFlags.Public | BindingFlags.Static) is { IsLiteral: true })
            .SelectMany(t => Settings((string)t.GetField("Section")!.GetRawConstantValue()!, t));
        var told = Rows("`GrainVision:").Select(cells => $"{cells[0].Trim('`')} | {cells[3]} | {cells[4]}");
        Assert.Equal(settings.Order(StringComparer.Ordinal), told.Order(StringComparer.Ordinal));
    }

    [Fact]
    public void Settings_InTheReadme_SayTypeUnitAndUse() => Assert.All(Rows("`GrainVision:"), cells =>
    {
        Assert.Equal(6, cells.Length);
        Assert.All(cells, Assert.NotEmpty);
    });

    [Fact]
    public void LargestPhoto_InTheReadme_IsTheProducts()
    {
        var limits = IntakeLimits.Default;
        var told = string.Create(CultureInfo.InvariantCulture, $"are taken to {limits.MaxBytes / 1_000_000} MB and {limits.MaxPixels / 1_000_000} MP.");
        Assert.Contains(told, File.ReadAllText(Readme), StringComparison.Ordinal);
    }

    [Fact]
    public void Routes_InTheReadme_AreThoseOfTheProgram()
    {
        using var client = service.CreateClient();
        var mapped = service.Services.GetRequiredService<EndpointDataSource>().Endpoints.OfType<RouteEndpoint>()
            .SelectMany(e => e.Metadata.GetMetadata<HttpMethodMetadata>()?.HttpMethods.Select(m => $"{m} /{Constraint().Replace(e.RoutePattern.RawText!.Trim('/'), "}")}") ?? [])
            .Where(r => r.Contains(" /v1", StringComparison.Ordinal) || r.Contains(" /health", StringComparison.Ordinal));
        var told = Rows("GET |", "POST |", "PUT |").Select(cells => $"{cells[0]} {cells[1].Trim('`')}");
        Assert.Equal(mapped.Order(StringComparer.Ordinal), told.Order(StringComparer.Ordinal));
    }

    private static IEnumerable<string> Settings(string section, Type options)
    {
        var defaults = Activator.CreateInstance(options);
        foreach (var property in options.GetProperties(BindingFlags.Public | BindingFlags.Instance))
        {
            var name = $"{section}:{property.Name}";
            if (property.PropertyType.IsGenericType && typeof(IEnumerable).IsAssignableFrom(property.PropertyType))
            {
                foreach (var inner in Settings(name + ":0", property.PropertyType.GetGenericArguments()[0]))
                    yield return inner;
                continue;
            }

            var range = property.GetCustomAttribute<RangeAttribute>() is { } r ? string.Create(CultureInfo.InvariantCulture, $"{r.Minimum} to {r.Maximum}") : "any";
            yield return $"{name} | {range} | {Told(property.GetValue(defaults))}";
        }
    }

    private static string Told(object? value) => value switch
    {
        null or "" => "none",
        bool yes => yes ? "true" : "false",
        _ => Convert.ToString(value, CultureInfo.InvariantCulture)!,
    };

    private static string Readme => Path.Combine(Calls.Root(), "src", "GrainVision.Service", "README.md");

    /// <summary>Cells of the table rows of the README that start like this.</summary>
    private static List<string[]> Rows(params string[] starts) =>
    [
        .. File.ReadLines(Readme)
            .Where(l => starts.Any(s => l.StartsWith("| " + s, StringComparison.Ordinal)))
            .Select(l => l.Trim('|', ' ').Split(" | ").Select(c => c.Trim()).ToArray()),
    ];

    [GeneratedRegex(":[a-z]+}")]
    private static partial Regex Constraint();
}
