using System.CommandLine;
using GrainVision.Grading.Refusals;

namespace GrainVision.Cli;

/// <summary>The options that say which service to ask, the same for every verb.</summary>
internal sealed class ServerOptions(string localMeans)
{
    private readonly Option<bool> _local = new("--local") { Description = localMeans };

    private readonly Option<string> _server = new("--server")
    {
        Description = "Address of the service (or GRAINVISION_SERVER).",
        DefaultValueFactory = _ => Environment.GetEnvironmentVariable("GRAINVISION_SERVER") ?? "http://127.0.0.1:5080",
    };

    private readonly Option<string?> _key = new("--api-key") { Description = "API key, where the service asks for one (or GRAINVISION_API_KEY)." };

    public IEnumerable<Option> All => [_local, .. Remote];

    /// <summary>For verbs that only a service can do.</summary>
    public IEnumerable<Option> Remote => [_server, _key];

    public bool IsLocal(ParseResult parsed) => parsed.GetValue(_local);

    /// <summary>A client of the service named; the caller disposes it.</summary>
    public Outcome<ServiceClient> Connect(ParseResult parsed)
    {
        var server = parsed.GetValue(_server)!;
        if (!Uri.TryCreate(server, UriKind.Absolute, out var address) || address.Scheme is not ("http" or "https"))
            return RefusalCatalog.BadOption.Because($"{server} is not an http address.", "Give --server as http://host:port.");
        return new ServiceClient(address, parsed.GetValue(_key) ?? Environment.GetEnvironmentVariable("GRAINVISION_API_KEY"));
    }
}
