"""The desk in the browser."""
