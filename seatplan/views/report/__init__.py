"""The whole plan as one HTML file that opens from a mail: no network, readable without its script."""
