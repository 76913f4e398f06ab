namespace GrainVision.Grading.Refusals;

/// <summary>
/// A measurement that honestly cannot be made, as a value with a fate: what the client is told, with which status.
/// Exceptions are for bugs; a photo without a scale is a refusal.
/// </summary>
/// <param name="Code">Stable kebab-case word for programs, such as <c>scale-not-found</c>.</param>
/// <param name="Stage">Stage that refused: intake, scale, section, rings, angle, slope, blemishes, picture, request.</param>
/// <param name="Status">HTTP status, 400 to 599.</param>
/// <param name="Message">What is wrong, one sentence, no internals.</param>
/// <param name="Advice">What to do next, one or two sentences.</param>
public sealed record Refusal(string Code, string Stage, int Status, string Message, string Advice)
{
    /// <summary>True where the service, not the sender, is at fault: worth an alarm and a retry.</summary>
    public bool OurFault => Status >= 500;
}
