"""Things of one design brought to others of the shelf: what there is to bring, tried first, and then done."""
