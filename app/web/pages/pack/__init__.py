"""Everything that is made of a design, as one pack."""
