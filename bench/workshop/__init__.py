"""The job: what each thing is now, the gates with their reasons, and lineage. No file, no clock, no web."""
