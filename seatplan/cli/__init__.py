"""The command line. Nothing is decided here."""
