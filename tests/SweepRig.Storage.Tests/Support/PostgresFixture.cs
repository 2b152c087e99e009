// One server for all tests of an assembly that ask for it.
[assembly: AssemblyFixture(typeof(SweepRig.Storage.Tests.Support.PostgresServer))]
