"""The language of whoever reads: every text that a student gets, said in it."""
