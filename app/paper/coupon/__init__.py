"""The coupon: trial cuts at true size, each with what to try in it and boxes to tick."""
