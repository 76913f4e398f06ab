using GrainVision.Service.Decisions;
using GrainVision.Service.Deliveries;
using GrainVision.Service.Guard;
using GrainVision.Service.Health;
using GrainVision.Service.Http;
using GrainVision.Service.Jobs;
using GrainVision.Service.Log;
using GrainVision.Service.Measurements;
using GrainVision.Service.Pages;
using GrainVision.Service.Pieces;
using GrainVision.Service.RuleBooks;
using GrainVision.Service.Storage;
using GrainVision.Service.Trials;

var builder = WebApplication.CreateBuilder(new WebApplicationOptions { Args = args, ContentRootPath = AppContext.BaseDirectory });
builder.AddGuard();
builder.AddHttp();
builder.AddStorage();
builder.AddRuleBooks();
builder.AddMeasurements();
builder.AddDeliveries();
builder.AddPieces();
builder.AddDecisions();
builder.AddLog();
builder.AddTrials();
builder.AddJobs();
builder.AddHealth();
builder.AddOpenApiPages();

try
{
    var app = builder.Build();
    app.LockDataFolder();
    app.UseProblems();
    app.UseGuard();
    app.UsePages();
    app.MapMeasurements();
    app.MapReplay();
    app.MapPhotos();
    app.MapRuleBooks();
    app.MapDeliveries();
    app.MapJobs();
    app.MapReports();
    app.MapFindings();
    app.MapDecisions();
    app.MapWhatIf();
    app.MapLog();
    app.MapAudit();
    app.MapTrials();
    app.MapHealth();
    app.TakeUpLeftWork();
    app.LoadRuleBooks();
    app.Run();
    return 0;
}
catch (Exception e) when (StartFailure.Of(e) is { } why)
{
    await Console.Error.WriteLineAsync("GrainVision does not start: " + why.Line);
    return why.ExitCode;
}
