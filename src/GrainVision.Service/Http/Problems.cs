using System.Globalization;
using GrainVision.Grading.Refusals;
using Microsoft.AspNetCore.Diagnostics;

namespace GrainVision.Service.Http;

/// <summary>Every refusal and every mishap as <c>application/problem+json</c> (RFC 9457) with <c>code</c>, <c>stage</c> and <c>advice</c>.</summary>
internal static class Problems
{
    private static readonly Refusal Internal = new(
        "internal-error", "service", 500, "The service failed; the fault is ours.", "Try once more; if it fails again, tell whoever runs the service, with the time.");

    public static IResult From(Refusal refusal) => Results.Problem(
        detail: refusal.Message,
        statusCode: refusal.Status,
        title: refusal.Code.Replace('-', ' '),
        type: "urn:grainvision:problem:" + refusal.Code,
        extensions: new Dictionary<string, object?> { ["code"] = refusal.Code, ["stage"] = refusal.Stage, ["advice"] = refusal.Advice });

    /// <summary>Turned away for want of a place, with the seconds after which to try again.</summary>
    public static IResult Busy(HttpContext http, Refusal busy, int retryAfterSeconds)
    {
        http.Response.Headers.RetryAfter = retryAfterSeconds.ToString(CultureInfo.InvariantCulture);
        return From(busy);
    }

    /// <summary>Answers for whatever goes wrong outside the handlers: no route, wrong method, a body cut off, a bug.</summary>
    public static void UseProblems(this WebApplication app)
    {
        app.UseExceptionHandler(new ExceptionHandlerOptions { ExceptionHandler = AnswerException, SuppressDiagnosticsCallback = IsTheSendersDoing });
        app.UseStatusCodePages(context => From(ForStatus(context.HttpContext)).ExecuteAsync(context.HttpContext));
    }

    private static Task AnswerException(HttpContext http)
    {
        var refusal = http.Features.Get<IExceptionHandlerFeature>()?.Error switch
        {
            BadHttpRequestException { StatusCode: StatusCodes.Status413PayloadTooLarge } => BodyTooLarge,
            BadHttpRequestException { StatusCode: StatusCodes.Status408RequestTimeout } => TooSlow,
            BadHttpRequestException => BadRequest,
            _ => Internal,
        };
        return From(refusal).ExecuteAsync(http);
    }

    private static bool IsTheSendersDoing(ExceptionHandlerSuppressDiagnosticsContext context) =>
        context.Exception is BadHttpRequestException || context.HttpContext.RequestAborted.IsCancellationRequested;

    internal static Refusal BodyTooLarge { get; } = new(
        "body-too-large", "request", 413, "The request is larger than this service takes.", "Send one photo of at most 60 MB.");

    private static Refusal TooSlow { get; } = new(
        "upload-too-slow", "request", 408, "The upload came too slowly and was given up.", "Try again where the connection is better.");

    private static Refusal BadRequest { get; } = new(
        "bad-request", "request", 400, "The request could not be read.", "See /swagger for what this service takes.");

    private static Refusal ForStatus(HttpContext http) => http.Response.StatusCode switch
    {
        StatusCodes.Status404NotFound => new(
            "not-found", "request", 404, "There is nothing at this address.", "See /swagger for the addresses of this service."),
        StatusCodes.Status405MethodNotAllowed => new(
            "method-not-allowed", "request", 405, $"{http.Request.Method} is not possible here.", $"Use {http.Response.Headers.Allow}."),
        StatusCodes.Status413PayloadTooLarge => BodyTooLarge,
        StatusCodes.Status415UnsupportedMediaType => new(
            "media-type-not-supported", "request", 415, "The request's content type is not taken here.", "See /swagger for what this service takes."),
        >= 500 and var status => Internal with { Status = status },
        var status => BadRequest with { Status = status },
    };
}
