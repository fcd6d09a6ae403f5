"""The job: record types, folds, gates and lineage."""
