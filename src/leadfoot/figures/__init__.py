"""Figures: a result in, a figure out."""
