"""The steps of building on paper: words and a picture each, and the same as a table."""
