"""Wires the book, the printer and the clock to the desk: the only file that knows them all."""
