using System.CommandLine;
using GrainVision.Cli;
using GrainVision.Grading.Verdicts;

var root = new RootCommand("GrainVision: measures wood for aircraft from photographs. " + VerdictCautions.Short)
{
    MeasureCommand.Make(),
    RuleBooksCommand.Make(),
    CheckTargetCommand.Make(),
    ScanCommand.Make(),
    ReplayCommand.Make(),
    WhatIfCommand.Make(),
    TrialCommand.Make(),
    VerifyLogCommand.Make(),
    ExportLogCommand.Make(),
    CheckpointCommand.Make(),
    BackupCommands.Make(),
    BackupCommands.Restore(),
    RebuildCommand.Make(),
};
return await root.Parse(args).InvokeAsync();
