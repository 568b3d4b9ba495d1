"""What the pages of the bench say: lists, wiring, legends, steps, at the board, as built, coupon."""
