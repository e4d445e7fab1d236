"""Leadfoot: did the change make the ball go longer, straighter, both, or luck, told honestly."""

__version__ = "0.1.0"
