"""Physics: what the ball does, computed."""
