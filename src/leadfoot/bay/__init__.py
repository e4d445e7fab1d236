"""Shots while they are hit: watched files, and an invented student who hits without a monitor."""
