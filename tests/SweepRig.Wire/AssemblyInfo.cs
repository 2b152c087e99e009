using System.Runtime.CompilerServices;

[assembly: InternalsVisibleTo("SweepRig.Sweeps.Tests")]
[assembly: InternalsVisibleTo("SweepRig.Benchmarks")]
