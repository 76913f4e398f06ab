// One test at a time: peak memory is measured for the whole process.
[assembly: CollectionBehavior(DisableTestParallelization = true)]
