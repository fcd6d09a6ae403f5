"""A hub: one PostgreSQL database that the benches of a school or a group keep their records in, each for its own."""
