namespace GrainVision.Service.Guard;

/// <summary>Headers that keep a browser from doing with our answers what they are not for.</summary>
internal sealed class SecurityHeaders(RequestDelegate next)
{
    /// <summary>Only our own files; pictures also from the page itself (the preview of the chosen photo).</summary>
    private const string Strict = "default-src 'self'; img-src 'self' blob: data:; object-src 'none'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'";

    /// <summary>The API page writes styles into itself.</summary>
    private const string ForSwagger = "default-src 'self'; img-src 'self' data:; style-src 'self' 'unsafe-inline'; object-src 'none'; frame-ancestors 'none'";

    public Task InvokeAsync(HttpContext http)
    {
        var headers = http.Response.Headers;
        headers.ContentSecurityPolicy = http.Request.Path.StartsWithSegments("/swagger") ? ForSwagger : Strict;
        headers.XContentTypeOptions = "nosniff";
        headers["Referrer-Policy"] = "no-referrer";
        headers["Cross-Origin-Resource-Policy"] = "same-origin";
        return next(http);
    }
}
