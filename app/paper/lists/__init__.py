"""Pages of words, tables and pictures: lists for the bench, in one house style."""
