"""Reading: YAML with the place of every word, records, the bundled library; errors say where and what."""
