using System.Diagnostics;
using GrainVision.Trainer;

return FitCommand.Run(args, Console.Out, Stopwatch.StartNew());
