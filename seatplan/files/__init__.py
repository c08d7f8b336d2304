"""Reading: YAML with the place of every word, records, the bundled library, and errors that say where and what."""
