"""The server that carries the bench to the phones."""
