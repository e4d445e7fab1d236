"""Coaching: why it changed, what limits the student, and what to practise."""
