"""Making room: the smallest shift of parts that clears what moving can clear."""
