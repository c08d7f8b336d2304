"""The family's pages: trips, the car with its seats drawn, children, their seats, the answer beside them."""
