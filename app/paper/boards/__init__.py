"""All boards of a design on as few sheets as can be: blocks, how they are packed, their pages and the list of them."""
