"""A checkup as it goes on file, and a folder of them."""
