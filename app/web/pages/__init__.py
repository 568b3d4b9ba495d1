"""One folder a page: its route, its context, and the parts of it."""
