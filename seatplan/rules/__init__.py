"""The rules: one function each, found through ``registry``. Nothing heavy is imported here."""
