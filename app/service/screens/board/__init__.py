"""What the page of the board says: its cards, findings, forms, layers, and the report."""
