"""Shapes and room: does it fit, what is in the way, by how much. Knows no rule."""
