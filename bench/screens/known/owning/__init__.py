"""The maker's own rows: what a form asks of a reagent, a target or a limit, and the record that it becomes."""
