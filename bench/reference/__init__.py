"""What is known from outside: data files, their loader, and the Library that holds them."""
