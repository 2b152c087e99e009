// Each test starts processes of its own and a browser; side by side on two cores they would measure each other.
[assembly: CollectionBehavior(DisableTestParallelization = true)]
