"""Random but legal sequences of all operations, and what holds after any of them."""
