"""Drawings of an arrangement as SVG in mm: rows from above, rear-facing shells from the side."""
