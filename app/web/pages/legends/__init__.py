"""The page of legends: a text or a sign for each part, seen on the board, and the sheets and files of them."""
