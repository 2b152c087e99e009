// The clock of a night goes on when the thread pool rests: nothing else may run beside it.
[assembly: CollectionBehavior(DisableTestParallelization = true)]
