using System.Runtime.CompilerServices;

[assembly: InternalsVisibleTo("SweepRig.Benchmarks")]
[assembly: InternalsVisibleTo("SweepRig.EndToEnd.Tests")]
[assembly: InternalsVisibleTo("SweepRig.Rigs.Tests")]
[assembly: InternalsVisibleTo("SweepRig.Sweeps.Tests")]
[assembly: InternalsVisibleTo("SweepRig.Wire")]
