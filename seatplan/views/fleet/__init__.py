"""Answers about a fleet as text, JSON, drawings and cards for drivers."""
