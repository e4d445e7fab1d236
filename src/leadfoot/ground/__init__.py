"""Ground: what force plates, pressure mats and jump mats can say of a push."""
