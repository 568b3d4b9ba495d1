"""Work in other processes, what it may cost, and what is kept of it."""
