using System.Diagnostics;
using GrainVision.Accuracy;

return AccuracyCommand.Run(args, Console.Out, Console.Error, Stopwatch.StartNew());
