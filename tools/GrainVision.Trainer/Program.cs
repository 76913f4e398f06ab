using System.Diagnostics;
using GrainVision.Trainer;

return TrainerCommand.Run(args, Console.Out, Console.Error, Stopwatch.StartNew());
