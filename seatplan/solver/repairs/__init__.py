"""Repairs: what a person could change so that something fits; each tried by solving again before it is told."""
