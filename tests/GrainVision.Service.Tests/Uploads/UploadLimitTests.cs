using System.Net;
using System.Net.Sockets;
using System.Text;

namespace GrainVision.Service.Tests.Uploads;

/// <summary>A body that is too long is refused while it comes in, whether or not it says how long it is. Over real sockets.</summary>
public class UploadLimitTests
{
    private const string Head = "--cut\r\nContent-Disposition: form-data; name=\"photo\"; filename=\"a.jpg\"\r\n\r\n";

    [Fact]
    public async Task Body_TooLongWithoutContentLength_IsRefusedWhileItComes()
    {
        await using var service = Listening();
        using var socket = await Connect(service);
        await using var stream = new NetworkStream(socket);
        await Write(stream, "POST /v1/measurements HTTP/1.1\r\nHost: localhost\r\nContent-Type: multipart/form-data; boundary=cut\r\nTransfer-Encoding: chunked\r\n\r\n");
        await WriteChunk(stream, Encoding.ASCII.GetBytes(Head));
        var megabyte = new byte[1_000_000];
        var sent = 0;
        var answer = ReadHead(stream);
        try
        {
            while (sent < 200 && !answer.IsCompleted)
            {
                await WriteChunk(stream, megabyte);
                sent++;
            }
        }
        catch (IOException)
        {
            // The service closed the connection: it had seen enough.
        }

        Assert.Contains("HTTP/1.1 413", await answer, StringComparison.Ordinal);
        Assert.InRange(sent, 60, 75); // 60 MB are allowed; a few more may wait in the sockets
    }

    [Fact]
    public async Task Body_ThatSaysItIsTooLong_IsRefusedBeforeItComes()
    {
        await using var service = Listening();
        using var socket = await Connect(service);
        await using var stream = new NetworkStream(socket);
        await Write(stream, "POST /v1/measurements HTTP/1.1\r\nHost: localhost\r\nContent-Type: multipart/form-data; boundary=cut\r\nContent-Length: 900000000\r\n\r\n");
        var head = await ReadHead(stream);
        Assert.Contains("HTTP/1.1 413", head, StringComparison.Ordinal);
        Assert.Contains("application/problem+json", head, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Request_TooLong_IsTooLarge()
    {
        await using var service = new RunningService();
        using var client = service.CreateClient();
        using var answer = await client.Measure(Calls.Fixture(Calls.RingsPhoto), "{\"view\":\"end\",\"x\":\"" + new string('x', 300_000) + "\"}");
        await answer.IsProblem(413, "part-too-large", "request");
    }

    [Fact]
    public async Task Uploads_MoreThanMayBeHeld_AreTurnedAway()
    {
        await using var service = Listening(new() { ["GrainVision:Work:Uploads"] = "1" });
        using var slow = await Connect(service);
        await using var stream = new NetworkStream(slow);
        // "100 Continue" comes when the service begins to read the body: the slow one is inside by then, and not the other way round.
        await Write(stream, "POST /v1/measurements HTTP/1.1\r\nHost: localhost\r\nExpect: 100-continue\r\nContent-Type: multipart/form-data; boundary=cut\r\nContent-Length: 1000000\r\n\r\n");
        Assert.Contains("100 Continue", await ReadHead(stream), StringComparison.Ordinal);
        // Kestrel drops a body that comes slower than 240 bytes a second on the whole: these bytes are good for six minutes.
        await Write(stream, Head);
        await stream.WriteAsync(new byte[100_000]);
        using var client = service.CreateClient();
        using var answer = await client.Measure([1, 2, 3], Calls.RingsRequest);
        Assert.Equal(HttpStatusCode.TooManyRequests, answer.StatusCode);
    }

    [Fact]
    public async Task Caller_WhoHangsUpInTheMiddle_LeavesTheServiceWell()
    {
        await using var service = Listening(new() { ["GrainVision:Work:Uploads"] = "1" });
        using (var socket = await Connect(service))
        {
            await using var stream = new NetworkStream(socket);
            await Write(stream, "POST /v1/measurements HTTP/1.1\r\nHost: localhost\r\nContent-Type: multipart/form-data; boundary=cut\r\nContent-Length: 1000000\r\n\r\n" + Head);
            await Task.Delay(100);
        }

        using var client = service.CreateClient();
        HttpStatusCode last = default;
        for (var i = 0; i < 100 && last != HttpStatusCode.OK; i++)
        {
            using var answer = await client.Measure(Calls.Fixture(Calls.RingsPhoto), Calls.RingsRequest);
            last = answer.StatusCode;
            await Task.Delay(20);
        }

        Assert.Equal(HttpStatusCode.OK, last); // the one place for uploads is free again
    }

    private static RunningService Listening(Dictionary<string, string>? settings = null)
    {
        var service = new RunningService(settings ?? []);
        service.UseKestrel(0);
        service.StartServer();
        return service;
    }

    private static async Task<Socket> Connect(RunningService service)
    {
        var socket = new Socket(SocketType.Stream, ProtocolType.Tcp);
        await socket.ConnectAsync("127.0.0.1", service.ClientOptions.BaseAddress.Port);
        return socket;
    }

    private static async Task Write(Stream stream, string text) => await stream.WriteAsync(Encoding.ASCII.GetBytes(text));

    private static async Task WriteChunk(Stream stream, byte[] bytes)
    {
        await Write(stream, bytes.Length.ToString("x") + "\r\n");
        await stream.WriteAsync(bytes);
        await Write(stream, "\r\n");
    }

    private static async Task<string> ReadHead(Stream stream)
    {
        var buffer = new byte[4096];
        var length = await stream.ReadAsync(buffer);
        return Encoding.ASCII.GetString(buffer, 0, length);
    }
}
