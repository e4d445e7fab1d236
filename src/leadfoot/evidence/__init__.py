"""Evidence: what a handful of shots can and cannot tell."""
