"""One module a kind of calculation, named like the kind with `_` for `-`; each exports KIND."""
