"""Shots: from any table of shots to records of balls, with every doubt kept."""
