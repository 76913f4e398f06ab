using System.Security.Cryptography;
using System.Text;
using GrainVision.Presentation.Trials;
using GrainVision.Service.Http;

namespace GrainVision.Service.Trials;

/// <summary>Trials: the same pieces by hand and by photo, compared.</summary>
internal static class TrialEndpoints
{
    /// <summary>2 MB: a thousand photos and five thousand measurements by hand are some 600 KB.</summary>
    private const int MostBytes = 2 * 1024 * 1024;

    public static void AddTrials(this WebApplicationBuilder builder)
    {
        builder.Services.AddSingleton<Records.Trials.TrialStore>();
        builder.Services.AddSingleton<TrialService>();
    }

    public static void MapTrials(this WebApplication app)
    {
        var group = app.MapGroup("/v1/trials").WithTags("Trials");
        group.MapPost("", Enter)
            .WithName("EnterTrial").WithSummary("Compares measurements by hand with those of photos of the same pieces, and puts the comparison on record: bias, limits of agreement, repeatability, how often the intervals hold.")
            .Accepts<TrialRequest>("application/json").Produces<TrialAnswer>(201).ProducesProblems(400, 401, 404, 413, 422);
        group.MapGet("{number:long}", (long number, TrialService trials) => Answer.From(trials.Find(number)))
            .WithName("GetTrial").WithSummary("A trial on record, by the number of its entry in the log.").Produces<TrialAnswer>().ProducesProblems(401, 404);
        group.MapGet("{number:long}/page", Page)
            .WithName("GetTrialPage").WithSummary("The same as a page with plots, to look at or to print.").Produces<string>(200, "text/html").ProducesProblems(401, 404);
    }

    private static IResult Page(long number, HttpContext http, TrialService trials)
    {
        if (!trials.Page(number).TryGet(out var page, out var refusal))
            return Problems.From(refusal);
        // The page is kept and sent on as one file, so its style is in it: that one is let through, and nothing else.
        var style = Convert.ToBase64String(SHA256.HashData(Encoding.UTF8.GetBytes(TrialPage.Style)));
        http.Response.Headers.ContentSecurityPolicy = $"default-src 'none'; style-src 'sha256-{style}'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'";
        return Results.Content(page, "text/html", Encoding.UTF8);
    }

    private static async Task<IResult> Enter(HttpContext http, TrialService trials)
    {
        if (!(await JsonBody.Read<TrialRequest>(http, MostBytes)).TryGet(out var body, out var refusal))
            return Problems.From(refusal);
        var outcome = trials.Enter(body.Read, Caller.NameOf(http));
        if (outcome.Found is { } entered)
            http.Response.Headers.Location = $"/v1/trials/{entered.Entry}";
        return Answer.From(outcome, StatusCodes.Status201Created);
    }
}
