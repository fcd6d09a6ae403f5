"""The phone: let in, pinned, out of reach, its outbox, and codes that it reads."""
