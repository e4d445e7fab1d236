"""The demo studio: invented students and lessons, and the generator of their balls."""
