"""The shelf: every design, found, opened, begun and saved."""
