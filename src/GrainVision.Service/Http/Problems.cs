using System.Globalization;
using GrainVision.Grading.Refusals;
using Microsoft.AspNetCore.Diagnostics;

namespace GrainVision.Service.Http;

/// <summary>Every refusal and every mishap as <c>application/problem+json</c> (RFC 9457) with <c>code</c>, <c>stage</c> and <c>advice</c>.</summary>
internal static class Problems
{
    private static readonly Refusal Internal = RefusalCatalog.InternalError.Because("The service failed; the fault is ours.");

    /// <param name="refusal">What to say.</param>
    /// <param name="status">Status that the server has set already; null: that of the refusal's fate.</param>
    public static IResult From(Refusal refusal, int? status = null) => Results.Problem(
        detail: refusal.Message,
        statusCode: status ?? StatusOf(refusal.Fate),
        title: refusal.Code.Replace('-', ' '),
        type: "urn:grainvision:problem:" + refusal.Code,
        extensions: new Dictionary<string, object?> { ["code"] = refusal.Code, ["stage"] = refusal.Stage, ["advice"] = refusal.Advice });

    /// <summary>Turned away for want of a place, with the seconds after which to try again.</summary>
    public static IResult Busy(HttpContext http, Refusal busy, int retryAfterSeconds)
    {
        http.Response.Headers.RetryAfter = retryAfterSeconds.ToString(CultureInfo.InvariantCulture);
        return From(busy);
    }

    /// <summary>HTTP status of a refusal's fate (RFC 9110; 429 is RFC 6585).</summary>
    internal static int StatusOf(RefusalFate fate) => fate switch
    {
        RefusalFate.BadRequest => StatusCodes.Status400BadRequest,
        RefusalFate.NoKey => StatusCodes.Status401Unauthorized,
        RefusalFate.Forbidden => StatusCodes.Status403Forbidden,
        RefusalFate.NotFound => StatusCodes.Status404NotFound,
        RefusalFate.MethodNotAllowed => StatusCodes.Status405MethodNotAllowed,
        RefusalFate.TooSlow => StatusCodes.Status408RequestTimeout,
        RefusalFate.Conflict => StatusCodes.Status409Conflict,
        RefusalFate.TooLarge => StatusCodes.Status413PayloadTooLarge,
        RefusalFate.UnsupportedMedia => StatusCodes.Status415UnsupportedMediaType,
        RefusalFate.Unprocessable => StatusCodes.Status422UnprocessableEntity,
        RefusalFate.TooBusy => StatusCodes.Status429TooManyRequests,
        RefusalFate.Unavailable => StatusCodes.Status503ServiceUnavailable,
        _ => StatusCodes.Status500InternalServerError,
    };

    /// <summary>Answers for whatever goes wrong outside the handlers: no route, wrong method, a body cut off, a bug.</summary>
    public static void UseProblems(this WebApplication app)
    {
        app.UseExceptionHandler(new ExceptionHandlerOptions { ExceptionHandler = AnswerException, SuppressDiagnosticsCallback = IsTheSendersDoing });
        app.UseStatusCodePages(context => From(ForStatus(context.HttpContext), context.HttpContext.Response.StatusCode).ExecuteAsync(context.HttpContext));
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

    internal static Refusal BodyTooLarge { get; } = RefusalCatalog.BodyTooLarge.Because("The request is larger than this service takes.");

    private static Refusal TooSlow { get; } = RefusalCatalog.UploadTooSlow.Because("The upload came too slowly and was given up.");

    private static Refusal BadRequest { get; } = RefusalCatalog.BadRequest.Because("The request could not be read.");

    private static Refusal ForStatus(HttpContext http) => http.Response.StatusCode switch
    {
        StatusCodes.Status404NotFound => RefusalCatalog.NotFound.Because("There is nothing at this address."),
        StatusCodes.Status405MethodNotAllowed => RefusalCatalog.MethodNotAllowed.Because($"{http.Request.Method} is not possible here.", $"Use {http.Response.Headers.Allow}."),
        StatusCodes.Status413PayloadTooLarge => BodyTooLarge,
        StatusCodes.Status415UnsupportedMediaType => RefusalCatalog.MediaTypeNotSupported.Because("The request's content type is not taken here."),
        >= 500 => Internal,
        _ => BadRequest,
    };
}
