"""Compiled loops only: numbers in, numbers out, nothing that a teacher would name."""
