"""Text, drawings and JSON from results. Nothing is computed here."""
