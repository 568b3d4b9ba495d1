"""The plan pack: everything that is made of a design, in one folder or file."""
