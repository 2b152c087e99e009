using System.Runtime.CompilerServices;

[assembly: InternalsVisibleTo("SweepRig.Sweeps.Tests")]
[assembly: InternalsVisibleTo("SweepRig.Wire")]
[assembly: InternalsVisibleTo("SweepRig.Benchmarks")]
