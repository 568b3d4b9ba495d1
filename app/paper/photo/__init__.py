"""Photo cards: coded markers to be laid in the corners of a board before it is photographed."""
